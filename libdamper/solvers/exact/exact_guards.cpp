// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double cap_growth = 2.0;        // of the acceleration bound on which clear times rest
constexpr double longest_clear = 5e-3;    // s that a gap is left unwatched at most
constexpr double guard_rounding = 1e-13;  // of a guard's own terms
constexpr double guard_fresh = 1e-9;      // of a guard's own terms, right after a switch beside it
constexpr double rate_rounding = 1e-13;   // of the largest speed: what rounding leaves of a rate

}  // namespace

/// Series of a branch's twist over the step; returns how many terms there are.
std::size_t ExactRun::twist_series(std::size_t b, double h, Coefficients& delta) {
    const std::size_t n = core_masses_.empty() ? free_terms : core_.orders() + 1;
    std::fill_n(delta.begin(), n, 0.0);
    rounding_ = 0.0;
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (in_core_[i]) {
            for (std::size_t k = 0; k < n; ++k) delta[k] += entry.factor * core_.theta(k, i);
        } else {
            const std::size_t m = std::min(n, free_terms);
            free_[i].series(h, std::span<double>(part_).first(m));
            for (std::size_t k = 0; k < m; ++k) delta[k] += entry.factor * part_[k];
        }
        rounding_ += std::abs(entry.factor * angle_[i]);
    }
    const double drift = stacked_.drift(b);
    delta[0] += drift * clock();
    delta[1] += drift * h;
    rounding_ = 4e-16 * (rounding_ + std::abs(drift * clock()));
    return n;
}

/// Clear times rest on bounds of the core's accelerations. A step that breaks a bound makes every
/// gap beside that inertia due again, in this very step.
void ExactRun::hold_caps() {
    for (const std::size_t i : core_masses_) {
        const double bound = core_.acceleration_bound(i);
        if (bound > cap_[i]) {
            cap_[i] = cap_growth * bound;
            for (const std::size_t b : branches_of_[i]) {
                book_[b].clear_until = std::min(book_[b].clear_until, time_);
            }
        } else if (16.0 * bound < cap_[i]) {
            cap_[i] *= 0.5;  // gaps cleared under the larger bound stay cleared under it
        }
    }
}

std::optional<ExactRun::Fired> ExactRun::first_firing(double h) {
    std::optional<Fired> first;
    for (std::size_t b = 0; b < book_.size(); ++b) {
        if (stacked_.guards(b).empty() || book_[b].clear_until >= time_ + h) continue;
        if (book_[b].mixed) meet(b);
        check_branch(b, h, first);
    }
    return first;
}

void ExactRun::check_branch(std::size_t b, double h, std::optional<Fired>& first) {
    Coefficients& delta = delta_;
    const std::size_t n = twist_series(b, h, delta);
    double swing = 0.0, rate_swing = 0.0;
    for (std::size_t k = 1; k < n; ++k) {
        const double term = std::abs(delta[k]);
        swing += term;
        rate_swing += static_cast<double>(k) * term;
    }
    rate_swing = (rate_swing - std::abs(delta[1])) / h;
    const double rate0 = delta[1] / h;
    const auto guards = stacked_.guards(b);
    for (std::size_t g = 0; g < guards.size(); ++g) {
        const Stacked::GuardNow& guard = guards[g];
        const double value = guard.at(delta[0], rate0);
        const double size = std::abs(guard.offset) + std::abs(guard.twist * delta[0]) +
                            std::abs(guard.rate * rate0);
        const double floor = (book_[b].fresh ? guard_fresh : guard_rounding) * size +
                             std::abs(guard.twist) * rounding_;
        const double reach = std::abs(guard.twist) * swing + std::abs(guard.rate) * rate_swing;
        if (value > reach + floor) continue;
        for (std::size_t k = 0; k < n; ++k) {
            const double rate = k + 1 < n ? static_cast<double>(k + 1) * delta[k + 1] / h : 0.0;
            guard_[k] = guard.twist * delta[k] + guard.rate * rate;
        }
        guard_[0] = value;
        const double slope_floor =
            book_[b].fresh ? std::abs(guard.twist) * h * rate_rounding * top_speed_ : 0.0;
        const std::optional<double> s =
            firing(std::span<const double>(guard_).first(n), floor, slope_floor);
        if (s && (!first || *s < first->s)) first = Fired{b, g, *s};
    }
    book_[b].clear_until = time_ + clear_time(b, delta, h);
}

/// How long no guard of a branch with a free inertia can fall to zero, whatever the core does
/// within its caps.
double ExactRun::clear_time(std::size_t b, std::span<const double> delta, double h) const {
    double acceleration = 0.0;
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        const double bound =
            in_core_[i] ? cap_[i] : std::abs(free_[i].push - free_[i].decay * free_[i].speed);
        acceleration += std::abs(entry.factor) * bound;
    }
    const double rate = delta[1] / h;
    double clear = longest_clear;
    for (const Stacked::GuardNow& guard : stacked_.guards(b)) {
        const double value = guard.at(delta[0], rate);
        if (!(value > 0.0)) return 0.0;
        const double closing = -guard.twist * rate + std::abs(guard.rate) * acceleration;
        const double bend = 0.5 * std::abs(guard.twist) * acceleration;
        const double root = std::sqrt(closing * closing + 4.0 * bend * value);
        if (closing + root > 0.0) clear = std::min(clear, 2.0 * value / (closing + root));
    }
    return clear;
}

}  // namespace damper
