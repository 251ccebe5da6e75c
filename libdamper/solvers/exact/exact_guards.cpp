// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace damper {

namespace {

constexpr double cap_growth = 2.0;        // of the acceleration bound on which clear times rest
constexpr double cap_slack = 16.0;        // by which a cap may exceed its bound before it shrinks
constexpr double longest_clear = 5e-3;    // s that a gap is left unwatched at most
constexpr double guard_rounding = 1e-13;  // of a guard's own terms
constexpr double guard_fresh = 1e-12;     // of a guard's own terms, right after a switch beside it
constexpr double rate_rounding = 1e-13;   // of the largest speed: what rounding leaves of a rate

double size_of(const Stacked::GuardNow& guard, double delta, double rate) {
    return std::abs(guard.offset) + std::abs(guard.twist * delta) + std::abs(guard.rate * rate);
}

}  // namespace

/// What rounding of angles leaves of a branch's twist [rad].
double ExactRun::rounding_of(std::size_t b) const {
    double sum = std::abs(stacked_.drift(b) * clock(from_));
    for (const RowEntry& entry : row(b)) {
        sum += std::abs(entry.factor * angle_[static_cast<std::size_t>(entry.inertia)]);
    }
    return 4e-16 * sum;
}

ExactRun::Twist ExactRun::twist_at_start(std::size_t b) const {
    const double drift = stacked_.drift(b);
    Twist out{drift * clock(from_), drift};
    for (const RowEntry& entry : row(b)) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (in_core_[i]) {
            out.delta += entry.factor * angle_[i];
            out.rate += entry.factor * speed_[i];
        } else {
            const FreeMotion::Now now = free_[i].at(from_);
            out.delta += entry.factor * now.angle;
            out.rate += entry.factor * now.speed;
        }
    }
    return out;
}

/// Series of a branch's twist over the stretch.
std::span<const double> ExactRun::twist_series(std::size_t b) {
    BranchBook& book = book_[b];
    if (book.stretch == stretch_number_) return {book.twist.data(), book.terms};
    book.stretch = stretch_number_;
    book.terms = book.in_core ? core_.orders() + 1 : free_terms;
    double* const twist = book.twist.data();
    std::fill_n(twist, (book.terms + 3) / 4 * 4, 0.0);
    for (const RowEntry& entry : row(b)) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (in_core_[i]) {
            kernel_.add_scaled(entry.factor, core_.theta(i), static_cast<int>(book.terms), twist);
        } else {
            free_[i].add_series(from_, length_, entry.factor,
                                {twist, std::min(book.terms, free_terms)});
        }
    }
    const double drift = stacked_.drift(b);
    twist[0] += drift * clock(from_);
    twist[1] += drift * length_;
    return {twist, book.terms};
}

ExactRun::Twist ExactRun::twist_at(std::size_t b, double s) {
    const ValueSlope at = value_slope_at(twist_series(b), s);
    return {at.value, at.slope / length_};
}

/// Clear times rest on bounds of the core's accelerations. A stretch that breaks a bound makes
/// every gap beside that inertia due again, in this very stretch.
void ExactRun::hold_caps() {
    for (const std::size_t i : core_masses_) {
        const double bound = core_.acceleration_bound(i);
        if (bound > cap_[i]) {
            cap_[i] = cap_growth * bound;
            for (const std::size_t b : branches_of_[i]) book_[b].clear_until = 0.0;
        } else if (cap_slack * bound < cap_[i]) {
            cap_[i] *= 0.5;  // gaps cleared under the larger bound stay cleared under it
        }
    }
}

/// Finds the guards that fire in the stretch, as far as the first of them.
void ExactRun::check_all() {
    due_.clear();
    horizon_ = limit_;
    for (const std::size_t b : guarded_) {
        book_[b].next = never;
        book_[b].searched = 1.0;
        if (!clear_by_bounds(b)) due_.push_back(b);
    }
    // Those that may fire soonest first: the others need not be looked at beyond that.
    std::sort(due_.begin(), due_.end(), [&](std::size_t a, std::size_t b) {
        return book_[a].clear_until < book_[b].clear_until ||
               (book_[a].clear_until == book_[b].clear_until && a < b);
    });
    for (const std::size_t b : due_) search(b);
}

/// After a mode change inside the stretch: the branch's own guards are new; unless it is `alone`,
/// free inertias beside it move otherwise than before.
void ExactRun::recheck(std::size_t b, bool alone) {
    horizon_ = limit_;
    if (!alone) {
        for (const RowEntry& entry : row(b)) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            if (in_core_[i]) continue;
            for (const std::size_t other : branches_of_[i]) {
                book_[other].stretch = -1;
                book_[other].clear_until = 0.0;
                book_[other].next = never;
                book_[other].searched = 0.0;
            }
        }
    }
    book_[b].next = never;
    book_[b].searched = 0.0;
    for (const std::size_t g : guarded_) horizon_ = std::min(horizon_, book_[g].next);
    for (const std::size_t g : guarded_) {
        if (book_[g].searched < horizon_) search(g);
    }
}

/// Whether no guard of the branch can fire in the stretch that begins.
bool ExactRun::clear_by_bounds(std::size_t b) {
    BranchBook& book = book_[b];
    const double end = from_ + length_;
    if (book.clear_until >= end || stacked_.guards(b).empty()) return true;
    // Of a stiff contact only the series of its own twist tells anything.
    if (book.coupled && book.contact != none) return false;
    const Twist start = twist_at_start(b);
    book.clear_until = from_ + clear_time(b, start);
    return book.clear_until >= end || stays_clear(b, start);
}

/// Finds where in the stretch, from now to the horizon, a guard of the branch fires first.
void ExactRun::search(std::size_t b) {
    BranchBook& book = book_[b];
    book.searched = horizon_;
    const auto guards = stacked_.guards(b);
    if (guards.empty()) {
        book.searched = 1.0;
        return;
    }
    const std::span<const double> twist = trimmed(twist_series(b));
    const std::size_t n = twist.size();
    double swing = 0.0, rate_swing = 0.0;
    kernel_.swings(twist.data(), static_cast<int>(n), &swing, &rate_swing);
    rate_swing = (rate_swing - std::abs(twist[1])) / length_;
    const double rate0 = twist[1] / length_;
    const bool fresh = book.fresh_at == time_;
    const double rounding = rounding_of(b);
    for (std::size_t g = 0; g < guards.size(); ++g) {
        const Stacked::GuardNow& guard = guards[g];
        const double value = guard.at(twist[0], rate0);
        const double floor =
            (fresh ? guard_fresh : guard_rounding) * size_of(guard, twist[0], rate0) +
            std::abs(guard.twist) * rounding;
        const double reach = std::abs(guard.twist) * swing + std::abs(guard.rate) * rate_swing;
        if (value > reach + floor) continue;
        for (std::size_t k = 0; k < n; ++k) guard_[k] = guard.twist * twist[k];
        if (guard.rate != 0.0) {
            const double per_length = guard.rate / length_;
            for (std::size_t k = 0; k + 1 < n; ++k) {
                guard_[k] += per_length * static_cast<double>(k + 1) * twist[k + 1];
            }
        }
        guard_[0] += guard.offset;
        const double slope_floor =
            fresh ? std::abs(guard.twist) * length_ * rate_rounding * top_speed_ : 0.0;
        const std::optional<double> s =
            firing({guard_.data(), n}, s_, horizon_, floor, slope_floor);
        if (s && *s < book.next) {
            book.next = *s;
            book.guard = g;
            horizon_ = *s;
        }
    }
}

/// Bound of the acceleration of a branch's twist: within this stretch, or for as long as the caps
/// hold.
double ExactRun::acceleration_in(std::size_t b, bool in_stretch) const {
    double acceleration = 0.0;
    for (const RowEntry& entry : row(b)) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        // What drag leaves of a free inertia's acceleration only dies away.
        const double free = std::abs(free_[i].push - free_[i].decay * free_[i].speed);
        const double core = in_core_[i] == 0 ? 0.0
                            : in_stretch     ? core_.acceleration_bound(i)
                                             : cap_[i];
        acceleration += std::abs(entry.factor) * (in_core_[i] ? core : free);
    }
    return acceleration;
}

/// Whether no guard of the branch can fall to zero within the stretch, by bounds alone.
bool ExactRun::stays_clear(std::size_t b, const Twist& start) const {
    const double acceleration = acceleration_in(b, true);
    for (const Stacked::GuardNow& guard : stacked_.guards(b)) {
        const double value = guard.at(start.delta, start.rate);
        const double closing = -guard.twist * start.rate + std::abs(guard.rate) * acceleration;
        const double bend = 0.5 * std::abs(guard.twist) * acceleration;
        const double floor = guard_rounding * size_of(guard, start.delta, start.rate) +
                             std::abs(guard.twist) * rounding_of(b);
        // What it falls to at most is a parabola open downwards: least at an end.
        if (!(value > floor && value - (closing + bend * length_) * length_ > floor)) return false;
    }
    return true;
}

/// How long no guard of a branch can fall to zero, whatever the core does within its caps.
double ExactRun::clear_time(std::size_t b, const Twist& now) const {
    const double acceleration = acceleration_in(b, false);
    double clear = longest_clear;
    for (const Stacked::GuardNow& guard : stacked_.guards(b)) {
        const double value = guard.at(now.delta, now.rate);
        if (!(value > guard_rounding * size_of(guard, now.delta, now.rate))) return 0.0;
        const double closing = -guard.twist * now.rate + std::abs(guard.rate) * acceleration;
        const double bend = 0.5 * std::abs(guard.twist) * acceleration;
        if (value > (closing + bend * clear) * clear) continue;  // not the one that limits
        const double root = std::sqrt(closing * closing + 4.0 * bend * value);
        if (closing + root > 0.0) clear = std::min(clear, 2.0 * value / (closing + root));
    }
    return clear;
}

}  // namespace damper
