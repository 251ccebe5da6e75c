// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/shot_motion.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr double slowest = 3.0;        // times the mean period: what takes longer counts as none
constexpr double near_one = 1e-3;      // multipliers of angles that nothing holds
constexpr int corrections = 12;        // of the torque that holds the speed
constexpr double first_change = 0.01;  // of that torque, to see what it does

class Shooter {
  public:
    Shooter(const PeriodicProblem& problem, const PeriodicMotion& like,
            const ShotSettings& settings, const Progress& progress)
        : problem_(problem), settings_(settings), progress_(progress) {
        TimeProblem time = time_problem(problem, like);
        out_.line = std::move(time.line);
        out_.neutral = time.neutral;
        out_.balance = like.balance;
        wanted_ = problem.line.masses[problem.lead].reference_speed;
    }

    ShotMotion from(const State& guess) {
        for (out_.periods = settings_.first_periods; out_.periods <= settings_.most_periods;
             out_.periods *= 2) {
            out_.orbit = search(guess);
            if (out_.orbit.found) break;
            if (out_.why_not.empty()) out_.why_not = out_.orbit.why_not;
            if (progress_.must_stop()) break;
        }
        if (!out_.orbit.found) return std::move(out_);
        out_.why_not.clear();
        hold_speed();
        return std::move(out_);
    }

  private:
    [[nodiscard]] double angle() const {
        return 2.0 * std::numbers::pi * wanted_ / problem_.omega * out_.periods;
    }

    Orbit search(const State& guess) {
        Orbit orbit = search(guess, settings_.tolerance);
        if (!orbit.found && orbit.residual > 0.0 && orbit.residual <= settings_.good_enough) {
            orbit = search(State(orbit.start), settings_.good_enough);
        }
        if (orbit.found) out_.speed = angle() / orbit.period;
        return orbit;
    }

    Orbit search(const State& guess, double tolerance) {
        const double angle_now = angle();
        return find_orbit(out_.line, guess,
                          {.lead = problem_.lead,
                           .angle = angle_now,
                           .longest_period = slowest * angle_now / wanted_,
                           .most_passages = settings_.most_passages,
                           .tolerance = tolerance},
                          progress_);
    }

    /// Only the torque that has been added by time_problem changes.
    void set_balance(double by) {
        std::get<ConstantTorque>(out_.line.inputs.back().source).torque += by;
        out_.balance += by;
    }

    void hold_speed() {
        if (problem_.balanced_at < 0) return;
        double change = first_change * std::max(std::abs(out_.balance), 1.0);
        for (int i = 0; std::abs(out_.speed / wanted_ - 1.0) > settings_.speed_tolerance; ++i) {
            const double before = out_.speed;
            if (i == corrections || progress_.must_stop()) {
                out_.orbit.found = false;
                out_.why_not = fmt::format(
                    "a motion that repeats itself at {:.4g} times the mean speed is lost on the "
                    "way to it",
                    before / wanted_);
                return;
            }
            set_balance(change);
            const Orbit next = search(out_.orbit.start);
            if (!next.found) {  // too far at once
                set_balance(-change);
                out_.speed = before;
                change *= 0.5;
                continue;
            }
            const double gained = out_.speed - before;
            out_.orbit = next;
            change *= gained != 0.0 ? (wanted_ - out_.speed) / gained : 2.0;
        }
    }

    const PeriodicProblem& problem_;
    const ShotSettings& settings_;
    const Progress& progress_;
    double wanted_ = 0.0;
    ShotMotion out_;
};

}  // namespace

ShotMotion shoot_motion(const PeriodicProblem& problem, const PeriodicMotion& like,
                        const State& guess, const ShotSettings& settings,
                        const Progress& progress) {
    if (settings.first_periods < 1 || settings.most_periods < settings.first_periods) {
        throw ModelError("a motion repeats after one period at least");
    }
    return Shooter(problem, like, settings, progress).from(guess);
}

double deciding_multiplier(const Orbit& orbit, int neutral) {
    double largest = 0.0;
    for (const std::complex<double>& multiplier : orbit.multipliers) {
        if (neutral > 0 && std::abs(multiplier - 1.0) < near_one) {
            --neutral;
            continue;
        }
        largest = std::max(largest, std::abs(multiplier));
    }
    return largest;
}

}  // namespace damper
