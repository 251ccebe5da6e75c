// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/general/equations.hpp"

#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cstdint>
#include <vector>

namespace damper {

/// One step of the explicit pair 5(4) of Dormand and Prince (Boost.Odeint's stepper), its size held
/// to what errors are allowed, with what lies between its ends.
///
/// Size control: E. Hairer, S. P. Nørsett, G. Wanner, Solving Ordinary Differential Equations I,
/// section II.4 and the code DOPRI5 there: h·0.9·err^(−0.17)·(err before)^0.04 (recalled). The
/// memory of the error before costs fewer steps that are taken in vain than the error alone.
class Step {
  public:
    /// Largest errors of a step.
    struct Allowed {
        double angle = 1.0;  ///< [rad]
        double speed = 1.0;  ///< [rad/s]
    };

    /// Largest sum of the absolute weights that the interpolant gives the slopes of the stages,
    /// anywhere in the step, over its length: how far a state can get in it.
    static constexpr double most_weight = 1.6603;

    /// Keeps a reference. `largest` and `first` are sizes of steps [s].
    Step(Equations& equations, double largest, double first);

    /// Begins anew at a state whose slope is not known.
    void start(const std::vector<double>& y, double t);
    /// Steps from start() to at most `limit`, trying until the error is allowed. Throws SolverError
    /// if no size will do.
    void take(double limit, const Allowed& allowed);
    /// The same step with just this end, whatever its error.
    void retake(double t);
    /// Moves the end by what is so little that its slopes say all about it [s].
    void shift(double dt);
    /// What a shift by dt leaves out of the speeds, at most [rad/s].
    [[nodiscard]] double shift_error(double dt) const;
    /// The end becomes the start of the next step.
    void go_on();

    /// State inside the step; `y` as long as the state.
    void at(double t, std::vector<double>& y) const;

    [[nodiscard]] double from() const { return from_; }      ///< [s]
    [[nodiscard]] double to() const { return to_; }          ///< [s]
    [[nodiscard]] double length() const { return length_; }  ///< Without the shift [s].
    [[nodiscard]] double shifted() const { return shifted_; }
    [[nodiscard]] double next_size() const { return size_; }  ///< That errors call for [s].
    [[nodiscard]] const std::vector<double>& start() const { return y_from_; }
    [[nodiscard]] const std::vector<double>& end() const { return y_to_; }
    [[nodiscard]] const std::vector<double>& start_slope() const { return slope_from_; }
    [[nodiscard]] const std::vector<double>& end_slope() const { return slope_to_; }
    [[nodiscard]] std::int64_t rejected() const { return rejected_; }

  private:
    [[nodiscard]] double error(const Allowed& allowed) const;

    Equations* equations_;
    boost::numeric::odeint::runge_kutta_dopri5<std::vector<double>> stepper_;
    std::vector<double> y_from_, y_to_, slope_from_, slope_to_, error_;
    double from_ = 0.0, to_ = 0.0, length_ = 0.0, shifted_ = 0.0;
    double largest_, size_;
    double log_error_before_ = 0.0;
    std::int64_t rejected_ = 0;
};

}  // namespace damper
