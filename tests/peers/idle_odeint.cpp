// SPDX-License-Identifier: MIT
#include "tests/peers/idle_motion.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <boost/numeric/odeint/algebra/default_operations.hpp>
#include <boost/numeric/odeint/algebra/range_algebra.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <cstdint>
#include <optional>

namespace damper::peers {

namespace {

namespace odeint = boost::numeric::odeint;
using Vector = std::vector<double>;

constexpr double first_step = 1e-6;   // s
constexpr double least_share = 1e-4;  // of a step: how near to its start a rise is looked for
constexpr std::uintmax_t root_trials = 60;

/// Largest error of a step relative to what is allowed of an angle or a speed.
struct Allowed {
    // Names that the stepper asks for.
    using value_type = double;
    using algebra_type = odeint::range_algebra;
    using operations_type = odeint::default_operations;

    template <typename Algebra, typename Old, typename Slope, typename Err, typename Time>
    double error(Algebra&, const Old&, const Slope&, Err& err, Time) const {
        double angle = 0.0;
        double speed = 0.0;
        for (std::size_t i = 0; i < angles; ++i) angle = std::max(angle, std::abs(err[i]));
        for (std::size_t i = angles; i < err.size(); ++i) speed = std::max(speed, std::abs(err[i]));
        return std::max(angle / angle_per_speed, speed) / tolerance;
    }

    std::size_t angles = 0;
    double tolerance = 1.0;
};

using Stepper = odeint::runge_kutta_dopri5<Vector>;
using Adjuster = odeint::default_step_adjuster<double, double>;
using Dense =
    odeint::dense_output_runge_kutta<odeint::controlled_runge_kutta<Stepper, Allowed, Adjuster>>;

class Integrator {
  public:
    Integrator(IdleMotion& motion, double tolerance)
        : motion_(motion),
          dense_({Allowed{motion.angles(), tolerance}, Adjuster(largest_step)}),
          y_(motion.start()),
          before_(motion.guards()),
          after_(motion.guards()),
          looked_(motion.guards()),
          fell_(motion.guards()) {
        restart(0.0, first_step);
    }

    /// The state at `until`, restarting at every switch on the way.
    const Vector& go(double until, Course& course) {
        while (until > clear_) {
            if (switched_) {
                dense_.calc_state(clear_, y_);
                motion_.pass(clear_, y_.data(), fell_.data(), course.touches);
                restart(clear_, dense_.current_time_step());
                bound_switches(++course.restarts, clear_);
            }
            dense_.do_step([this](const Vector& y, Vector& dy, double t) {
                motion_.slope(t, y.data(), dy.data());
            });
            ++course.steps;
            look();
        }
        dense_.calc_state(until, y_);
        return y_;
    }

  private:
    void restart(double t, double step) {
        dense_.initialize(y_, t, std::min(step, largest_step));
        motion_.guards(y_.data(), before_.data());
        clear_ = t;
        switched_ = false;
    }

    [[nodiscard]] double guard_at(std::size_t i, double t) {
        dense_.calc_state(t, y_);
        motion_.guards(y_.data(), looked_.data());
        return looked_[i];
    }

    /// Looks which guard fell first in the step just taken, if any.
    void look() {
        clear_ = dense_.current_time();
        motion_.guards(dense_.current_state().data(), after_.data());
        std::optional<std::size_t> first;
        for (std::size_t i = 0; i < after_.size(); ++i) {
            if (after_[i] < 0.0) look_for(i, first);
        }
        switched_ = first.has_value();
        if (!switched_) {
            std::swap(before_, after_);
            return;
        }
        std::fill(fell_.begin(), fell_.end(), 0);
        fell_[*first] = 1;
    }

    /// A guard that is below zero at the end of the step.
    void look_for(std::size_t i, std::optional<std::size_t>& first) {
        const double at_bound = first ? guard_at(i, clear_) : after_[i];
        if (!(at_bound < 0.0)) return;
        double from = dense_.previous_time();
        double at_start = before_[i];
        if (!(at_start > 0.0)) {
            // Right after a switch a guard may rise from zero first: then its fall is looked for.
            const double length = clear_ - from;
            double share = 0.5;
            for (; share > least_share && !(at_start > 0.0); share *= 0.5) {
                at_start = guard_at(i, from + share * length);
            }
            if (at_start > 0.0) {
                from += 2.0 * share * length;
            } else if (at_bound < before_[i]) {
                clear_ = from;
                first = i;
                return;
            } else {
                return;
            }
        }
        std::uintmax_t trials = root_trials;
        const auto bracket = boost::math::tools::toms748_solve(
            [&](double t) { return guard_at(i, t); }, from, clear_, at_start, at_bound,
            boost::math::tools::eps_tolerance<double>(50), trials);
        clear_ = bracket.second;  // the far end: just past the switch
        first = i;
    }

    IdleMotion& motion_;
    Dense dense_;
    Vector y_, before_, after_, looked_;
    std::vector<int> fell_;
    double clear_ = 0.0;     ///< Up to here the step at hand holds [s].
    bool switched_ = false;  ///< It ends there with a switch.
};

}  // namespace

Course integrate_explicitly(const IdleCar& car, double end, double step, double tolerance) {
    IdleMotion motion(car);
    Integrator integrator(motion, tolerance);
    Course course;
    course.start.assign(motion.start().begin() + 1,
                        motion.start().begin() + static_cast<std::ptrdiff_t>(motion.angles()));
    const auto samples = static_cast<long>(std::lround(end / step));
    course.input_speed.push_back(car.speed + motion.start()[motion.input_speed()]);
    for (long i = 1; i <= samples; ++i) {
        const Vector& y = integrator.go(static_cast<double>(i) * step, course);
        course.input_speed.push_back(car.speed + y[motion.input_speed()]);
    }
    course.evaluations = motion.evaluations;
    return course;
}

}  // namespace damper::peers
