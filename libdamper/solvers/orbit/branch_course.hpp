// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/orbit/fourier.hpp"

#include <Eigen/Dense>
#include <memory>
#include <string>
#include <vector>

namespace damper {

/// What one element does while its twist goes through a given periodic course.
struct BranchCourse {
    bool repeats = false;
    std::string why_not;   ///< Empty if it repeats.
    int switches = 0;      ///< Mode changes in a period.
    double spring = 0.0;   ///< Mean over the period [N m/rad]; the one there is if no switches.
    double damping = 0.0;  ///< Mean over the period [N m s/rad].
    /// Fourier coefficients of the torque that opposes the twist, of twice as many harmonics as the
    /// twist has [N m].
    Eigen::VectorXd torque;
    /// Derivative of the torque's coefficients over those of the twist, both of the twist's
    /// harmonics [N m/rad]; empty without switches, where spring and damping say it all.
    Eigen::MatrixXd slope;
};

/// Takes one element through a periodic course of its twist, mode by mode.
///
/// Between two mode changes the torque is affine in twist and rate, so that its Fourier integrals
/// are closed forms; mode changes are located on the series itself. So there are no samples of the
/// torque, no aliasing, and the derivative is exact: it has a part from the springs of the modes
/// passed, one from memories that the course sets (where friction came to rest), and one from the
/// times of mode changes wherever the torque jumps.
///
/// Background: alternating between frequency and time for harmonic balance, T. M. Cameron and
/// J. H. Griffin, An alternating frequency/time domain method for calculating the steady-state
/// response of nonlinear dynamic systems, J. Appl. Mech. 56(1), 1989, 149–154 (recalled); here the
/// time part is exact.
class BranchWalker {
  public:
    /// `part_modes`, `part_memories`: of the branch's parts, at the beginning of the period.
    /// `drift`: rate of the twist in uniform rotation [rad/s].
    BranchWalker(const Branch& branch, double drift, std::vector<int> part_modes,
                 std::vector<double> part_memories);

    /// `twist`: coefficients of the twist without its drift. Takes periods until modes and memories
    /// repeat, from where the last walk ended. At the grid's points guards are looked at; between
    /// them a mode may come and go unseen.
    [[nodiscard]] BranchCourse walk(const FourierBasis& basis, const FourierGrid& grid,
                                    const Eigen::VectorXd& twist);

    /// Modes and memories at the beginning of the period.
    [[nodiscard]] const std::vector<int>& modes() const { return state_.mode; }
    [[nodiscard]] const std::vector<double>& memories() const { return state_.memory; }
    void restart(std::vector<int> part_modes, std::vector<double> part_memories);

  private:
    struct Pass;
    struct Event {
        double time = 0.0;
        std::size_t guard = 0;
        bool found = false;
    };
    [[nodiscard]] BranchCourse linear_course(const FourierBasis& basis,
                                             const Eigen::VectorXd& twist);
    void run_pass(Pass& pass);
    [[nodiscard]] Event first_event(const Pass& pass, double from, const SeriesNow& at_from,
                                    double to, const SeriesNow& at_to) const;
    [[nodiscard]] double locate(const Pass& pass, const Stacked::GuardNow& guard, double from,
                                double to) const;
    void close_piece(Pass& pass, double to, const Eigen::VectorXd& at_to);
    void fire(Pass& pass, const Event& event);
    void take_memory_slopes(Pass& pass);

    /// The one branch against the ground, its twist the angle of one inertia. Stacked points to it.
    std::unique_ptr<const Driveline> line_;
    double drift_;
    bool never_changes_ = true;  ///< No mode of any part has a guard.
    Stacked stacked_;
    Stacked probe_;
    State state_;
};

}  // namespace damper
