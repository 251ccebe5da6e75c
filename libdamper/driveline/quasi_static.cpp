// SPDX-License-Identifier: MIT
#include "libdamper/driveline/quasi_static.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/steady_state.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr int switches_at_most = 10000;  // in one move; a real disc needs a few dozen

Driveline single(const Branch& branch) {
    Driveline line;
    line.masses.push_back({"hub", 1.0, 0.0});
    line.branches.push_back(branch);
    line.branches.back().row = {{0, 1.0}};
    return line;
}

}  // namespace

QuasiStatic::QuasiStatic(const Branch& branch)
    : line_(single(branch)), stacked_(line_), state_(start_state(line_)) {
    stacked_.set(state_);
}

void QuasiStatic::rest(double torque) {
    state_ = start_state(line_);
    twist_ = torque == 0.0 ? 0.0 : settle(line_.branches[0], torque, state_, 0);
    work_ = 0.0;
    stacked_.set(state_);
}

/// Nearest twist towards `target` at which a guard falls through zero while the twist moves in
/// `sense` (±1). A guard of the rate alone fires at once if it does not like the sense.
double QuasiStatic::next_switch(double target, double sense, const Stacked::GuardNow*& guard) {
    double nearest = target;
    guard = nullptr;
    for (const Stacked::GuardNow& candidate : stacked_.guards(0)) {
        const double value = candidate.at(twist_, 0.0);
        const double fall = candidate.twist * sense;  // per unit of twist
        double at = target;
        if (candidate.twist == 0.0) {
            if (!(candidate.rate * sense < 0.0)) continue;
            at = twist_;
        } else if (fall < 0.0) {
            at = twist_ + sense * std::max(value, 0.0) / -fall;
        } else {
            continue;
        }
        if ((target - at) * sense >= 0.0 && (guard == nullptr || (nearest - at) * sense > 0.0)) {
            nearest = at;
            guard = &candidate;
        }
    }
    return nearest;
}

double QuasiStatic::move_to(double target) {
    return move(target, nullptr);
}

double QuasiStatic::move_to(double target, std::vector<Piece>& pieces) {
    return move(target, &pieces);
}

double QuasiStatic::move(double target, std::vector<Piece>* pieces) {
    const double sense = target >= twist_ ? 1.0 : -1.0;
    for (int i = 0; twist_ != target; ++i) {
        if (i > switches_at_most) {
            throw SolverError(fmt::format("the loop of \"{}\" switches for ever at {:.6g} rad",
                                          line_.branches[0].name, twist_),
                              0.0, line_.branches[0].name);
        }
        const Stacked::GuardNow* guard = nullptr;
        const double at = next_switch(target, sense, guard);
        const Piece piece{twist_, at, torque(), stacked_.torque(0, at, 0.0)};
        work_ += 0.5 * (piece.from_torque + piece.to_torque) * (at - twist_);
        if (pieces != nullptr && at != twist_) pieces->push_back(piece);
        twist_ = at;
        if (guard == nullptr) break;
        const Stacked::GuardNow fired = *guard;
        stacked_.fire(fired, state_, twist_);
    }
    return torque();
}

}  // namespace damper
