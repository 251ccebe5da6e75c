// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/guard_watch.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>

namespace damper {

namespace {

constexpr int halvings = 12;  // how near to the start a guard is looked at for a rise
constexpr std::uintmax_t root_trials = 60;
constexpr double rounding = 1e-13;  // of a guard's terms: less than that is not negative
constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

GuardWatch::GuardWatch(const Stacked& stacked) : stacked_(&stacked) {
    const std::size_t count = stacked.branches().size();
    clear_.resize(count);
    near_.reserve(count);
    rate_top_.resize(count);
    y_.resize(2 * stacked.line().masses.size());
    for (std::size_t b = 0; b < count; ++b) refresh(b);
}

void GuardWatch::refresh(std::size_t branch) {
    Clear clear{.twist_above = -infinite,
                .twist_below = infinite,
                .rate_above = -infinite,
                .rate_below = infinite};
    for (const Stacked::GuardNow& guard : stacked_->guards(branch)) {
        const bool of_twist = guard.twist != 0.0, of_rate = guard.rate != 0.0;
        if (of_twist == of_rate) {
            clear.mixed = true;
            continue;
        }
        const double factor = of_twist ? guard.twist : guard.rate;
        double& above = of_twist ? clear.twist_above : clear.rate_above;
        double& below = of_twist ? clear.twist_below : clear.rate_below;
        const double zero = -guard.offset / factor;
        if (factor > 0.0) above = std::max(above, zero);
        if (factor < 0.0) below = std::min(below, zero);
    }
    clear_[branch] = clear;
}

/// Written so that a number that is not finite is never clear.
bool GuardWatch::is_clear(std::size_t branch, const Motion& start, double reach,
                          double rate_reach) const {
    const Clear& clear = clear_[branch];
    if (!(start.delta - reach > clear.twist_above && start.delta + reach < clear.twist_below &&
          start.rate - rate_reach > clear.rate_above &&
          start.rate + rate_reach < clear.rate_below)) {
        return false;
    }
    if (!clear.mixed) return true;
    for (const Stacked::GuardNow& guard : stacked_->guards(branch)) {
        const double fall = std::abs(guard.twist) * reach + std::abs(guard.rate) * rate_reach;
        if (!(guard.at(start.delta, start.rate) > fall)) return false;
    }
    return true;
}

std::optional<Firing> GuardWatch::first(const Step& step, const Equations& equations) {
    const std::array<Equations::Row, Equations::stages>& rows = equations.rows();
    const std::size_t count = clear_.size();
    for (std::size_t b = 0; b < count; ++b) rate_top_[b] = std::abs(rows[0].rate[b]);
    for (std::size_t stage = 2; stage < rows.size(); ++stage) {  // the weight of the second is 0
        const double* rate = rows[stage].rate.data();
        for (std::size_t b = 0; b < count; ++b) {
            rate_top_[b] = std::max(rate_top_[b], std::abs(rate[b]));
        }
    }
    const double reach = Step::most_weight * step.length();
    near_.clear();
    for (std::size_t b = 0; b < count; ++b) {
        double acceleration = 0.0;
        for (const RowEntry& entry : stacked_->line().branches[b].row) {
            acceleration += std::abs(entry.factor) *
                            equations.top_acceleration()[static_cast<std::size_t>(entry.inertia)];
        }
        const Motion start{rows[0].twist[b], rows[0].rate[b]};
        if (!is_clear(b, start, reach * rate_top_[b], reach * acceleration)) {
            near_.emplace_back().branch = b;
        }
    }
    if (near_.empty()) return std::nullopt;
    look_at_near_ones(step, equations);
    for (std::size_t piece = 0; piece < pieces; ++piece) {
        std::optional<Firing> earliest;
        for (const Looked& looked : near_) {
            for (const Stacked::GuardNow& guard : stacked_->guards(looked.branch)) {
                const std::optional<double> x = firing(guard, looked, piece, step.length());
                if (!x) continue;
                const double t = step.from() + *x * step.length();
                if (!earliest || t < earliest->time) earliest = Firing{guard, t};
            }
        }
        if (earliest) return earliest;
    }
    return std::nullopt;
}

/// Twist and rate at the ends of the pieces, and the polynomials through them.
void GuardWatch::look_at_near_ones(const Step& step, const Equations& equations) {
    const std::size_t n = equations.masses();
    const double h = step.length();
    const Equations::Row& start = equations.rows().front();
    const Equations::Row& end = equations.rows().back();
    for (Looked& looked : near_) {
        looked.motion.front() = {start.twist[looked.branch], start.rate[looked.branch]};
        looked.motion.back() = {end.twist[looked.branch], end.rate[looked.branch]};
    }
    for (std::size_t piece = 1; piece < pieces; ++piece) {
        const double t = step.from() + h * static_cast<double>(piece) / pieces;
        step.at(t, y_);
        for (Looked& looked : near_) {
            looked.motion[piece] = {stacked_->twist(looked.branch, t, {y_.data(), n}),
                                    stacked_->rate(looked.branch, {y_.data() + n, n})};
        }
    }
    const auto through = [](const std::array<double, pieces + 1>& at, double slope_a,
                            double slope_b) {
        const double rise = at.back() - at.front();
        Course c{.value = at.front(),
                 .slope = slope_a,
                 .square = 3.0 * rise - 2.0 * slope_a - slope_b,
                 .cube = slope_a + slope_b - 2.0 * rise};
        constexpr double between = (1.0 / 3.0) * (2.0 / 3.0);
        const double first = (at[1] - c.at(1.0 / 3.0)) / (between * between);
        const double second = (at[2] - c.at(2.0 / 3.0)) / (between * between);
        c.bend = 2.0 * first - second;
        c.twirl = 3.0 * (second - first);
        return c;
    };
    for (Looked& looked : near_) {
        const std::array<Motion, pieces + 1>& m = looked.motion;
        looked.delta = through({m[0].delta, m[1].delta, m[2].delta, m[3].delta}, h * m.front().rate,
                               h * m.back().rate);
        looked.rate = through({m[0].rate, m[1].rate, m[2].rate, m[3].rate},
                              h * slope_along(looked.branch, step.start_slope().data() + n),
                              h * slope_along(looked.branch, step.end_slope().data() + n));
    }
}

double GuardWatch::slope_along(std::size_t branch, const double* values) const {
    double sum = 0.0;
    for (const RowEntry& entry : stacked_->line().branches[branch].row) {
        sum += entry.factor * values[entry.inertia];
    }
    return sum;
}

double GuardWatch::value(const Stacked::GuardNow& guard, const Looked& looked, double x) {
    return guard.at(looked.delta.at(x), looked.rate.at(x));
}

/// Where in the step the guard fires within a piece, if it does; 0…1.
std::optional<double> GuardWatch::firing(const Stacked::GuardNow& guard, const Looked& looked,
                                         std::size_t piece, double length) {
    constexpr double share = 1.0 / pieces;
    const double xa = share * static_cast<double>(piece);
    const double xb = piece + 1 == pieces ? 1.0 : share * static_cast<double>(piece + 1);
    const Motion& a = looked.motion[piece];
    const Motion& b = looked.motion[piece + 1];
    const double at_a = guard.at(a.delta, a.rate);
    const double at_b = guard.at(b.delta, b.rate);
    const double noise = rounding * (std::abs(guard.offset) + std::abs(guard.twist * b.delta) +
                                     std::abs(guard.rate * b.rate));
    if (at_b < -noise) {
        if (at_a > 0.0) return root(guard, looked, xa, xb);
        // Zero or negative from the start: it may rise first (right after a switch), and then the
        // firing is the way back down.
        double reach = 0.5 * (xb - xa);
        for (int i = 0; i < halvings; ++i, reach *= 0.5) {
            if (value(guard, looked, xa + reach) > 0.0) return root(guard, looked, xa + reach, xb);
        }
        return at_b < at_a ? std::optional(xa) : std::nullopt;
    }
    const bool twist_only = guard.rate == 0.0 && guard.twist != 0.0;
    if (!twist_only || !(at_a > 0.0) || !(at_b > 0.0)) return std::nullopt;
    const double fall = guard.twist * a.rate * (xb - xa) * length;  // slopes over the piece
    const double rise = guard.twist * b.rate * (xb - xa) * length;
    if (!(fall < 0.0) || !(rise > 0.0)) return std::nullopt;
    // Lowest point of the cubic with these ends and slopes, near enough from its slopes.
    const double x = fall / (fall - rise);
    const double dip = xa + x * (xb - xa);
    if (at_a + 0.5 * x * fall > 0.0 && at_b - 0.5 * (1.0 - x) * rise > 0.0) return std::nullopt;
    if (!(value(guard, looked, dip) < -noise)) return std::nullopt;
    return root(guard, looked, xa, dip);
}

double GuardWatch::root(const Stacked::GuardNow& guard, const Looked& looked, double xa,
                        double xb) {
    const double at_a = value(guard, looked, xa);
    const double at_b = value(guard, looked, xb);
    if (!(at_a > 0.0)) return xa;
    if (!(at_b < 0.0)) return xb;
    std::uintmax_t trials = root_trials;
    const auto bracket = boost::math::tools::toms748_solve(
        [&](double x) { return value(guard, looked, x); }, xa, xb, at_a, at_b,
        boost::math::tools::eps_tolerance<double>(50), trials);
    return bracket.second;  // the far end: just past the bound, so that it does not fire again
}

}  // namespace damper
