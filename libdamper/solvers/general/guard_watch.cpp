// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/guard_watch.hpp"

#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>

namespace damper {

namespace {

constexpr int pieces = 3;     // looks per step
constexpr int halvings = 12;  // how near to the start a guard is looked at for a rise
constexpr std::uintmax_t root_trials = 60;
constexpr double rounding = 1e-13;  // of a guard's terms: less than that is not negative

}  // namespace

std::optional<Firing> GuardWatch::first(double from, double to, const Interpolant& interpolant) {
    motion_at(from, interpolant, before_);
    double ta = from;
    for (int piece = 1; piece <= pieces; ++piece) {
        const double tb = piece == pieces ? to : from + (to - from) * piece / pieces;
        motion_at(tb, interpolant, after_);
        std::optional<Firing> earliest;
        for (std::size_t b = 0; b < before_.size(); ++b) {
            for (const Stacked::GuardNow& guard : stacked_->guards(b)) {
                const std::optional<double> t = firing_time(guard, ta, tb, interpolant);
                if (t && (!earliest || *t < earliest->time)) earliest = Firing{guard, *t};
            }
        }
        if (earliest) return earliest;
        motion_at(tb, interpolant, before_);
        if (on_piece) on_piece(tb, y_);
        ta = tb;
    }
    return std::nullopt;
}

void GuardWatch::motion_at(double t, const Interpolant& interpolant, std::vector<Motion>& motion) {
    interpolant(t, y_);
    const std::size_t n = stacked_->line().masses.size();
    const std::span<const double> angle(y_.data(), n);
    const std::span<const double> speed(y_.data() + n, n);
    motion.resize(stacked_->branches().size());
    for (std::size_t b = 0; b < motion.size(); ++b) {
        motion[b] = {stacked_->twist(b, t, angle), stacked_->rate(b, speed)};
    }
}

double GuardWatch::value(const Stacked::GuardNow& guard, double t, const Interpolant& interpolant) {
    interpolant(t, y_);
    const std::size_t n = stacked_->line().masses.size();
    return guard.at(stacked_->twist(guard.branch, t, {y_.data(), n}),
                    stacked_->rate(guard.branch, {y_.data() + n, n}));
}

std::optional<double> GuardWatch::firing_time(const Stacked::GuardNow& guard, double ta, double tb,
                                              const Interpolant& interpolant) {
    const Motion& a = before_[guard.branch];
    const Motion& b = after_[guard.branch];
    const double at_a = guard.at(a.delta, a.rate);
    const double at_b = guard.at(b.delta, b.rate);
    const double noise = rounding * (std::abs(guard.offset) + std::abs(guard.twist * b.delta) +
                                     std::abs(guard.rate * b.rate));
    if (at_b < -noise) {
        if (at_a > 0.0) return root(guard, ta, tb, interpolant);
        // Zero or negative from the start: it may rise first (right after a switch), and then the
        // firing is the way back down.
        double reach = 0.5 * (tb - ta);
        for (int i = 0; i < halvings; ++i, reach *= 0.5) {
            if (value(guard, ta + reach, interpolant) > 0.0) {
                return root(guard, ta + reach, tb, interpolant);
            }
        }
        return at_b < at_a ? std::optional(ta) : std::nullopt;
    }
    const bool twist_only = guard.rate == 0.0 && guard.twist != 0.0;
    if (!twist_only || !(at_a > 0.0) || !(at_b > 0.0)) return std::nullopt;
    const double fall = guard.twist * a.rate * (tb - ta);  // slopes over the piece
    const double rise = guard.twist * b.rate * (tb - ta);
    if (!(fall < 0.0) || !(rise > 0.0)) return std::nullopt;
    // Lowest point of the cubic with these ends and slopes, near enough from its slopes.
    const double x = fall / (fall - rise);
    const double dip = ta + x * (tb - ta);
    if (at_a + 0.5 * x * fall > 0.0 && at_b - 0.5 * (1.0 - x) * rise > 0.0) return std::nullopt;
    if (!(value(guard, dip, interpolant) < -noise)) return std::nullopt;
    return root(guard, ta, dip, interpolant);
}

double GuardWatch::root(const Stacked::GuardNow& guard, double ta, double tb,
                        const Interpolant& interpolant) {
    const double at_a = value(guard, ta, interpolant);
    const double at_b = value(guard, tb, interpolant);
    if (!(at_a > 0.0)) return ta;
    if (!(at_b < 0.0)) return tb;
    std::uintmax_t trials = root_trials;
    const auto bracket = boost::math::tools::toms748_solve(
        [&](double t) { return value(guard, t, interpolant); }, ta, tb, at_a, at_b,
        boost::math::tools::eps_tolerance<double>(50), trials);
    return bracket.second;  // the far end: just past the bound, so that it does not fire again
}

}  // namespace damper
