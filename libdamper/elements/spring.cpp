// SPDX-License-Identifier: MIT
#include "libdamper/elements/spring.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>

namespace damper {

namespace {

/// Torque and stored energy at a corner, followed outwards from zero twist.
struct CornerState {
    double torque = 0.0;
    double energy = 0.0;
};

/// The piece through (`twist`, `at`) with stiffness k, written as spring·(δ − rest) + lost.
/// A flat piece stores nothing of its own: its constant torque would be booked as loss, so it is
/// allowed only without torque.
Mode piece(const SpringSegment& segment, double twist, const CornerState& at) {
    Mode mode;
    mode.label = segment.label;
    mode.spring = segment.stiffness;
    if (segment.stiffness > 0.0) {
        mode.rest = twist - at.torque / segment.stiffness;
        mode.energy_offset = at.energy - 0.5 * at.torque * at.torque / segment.stiffness;
    } else {
        if (at.torque != 0.0) {
            throw ModelError("a spring piece without stiffness must also be without torque");
        }
        mode.energy_offset = at.energy;
    }
    return mode;
}

CornerState step_along(const CornerState& from, double stiffness, double twist) {
    return {.torque = from.torque + stiffness * twist,
            .energy = from.energy + from.torque * twist + 0.5 * stiffness * twist * twist};
}

void check(const std::vector<SpringSegment>& segments, const std::vector<double>& corners) {
    if (segments.empty() || corners.size() + 1 != segments.size()) {
        throw ModelError("a spring of n pieces has n − 1 corners");
    }
    for (const SpringSegment& segment : segments) {
        if (!(segment.stiffness >= 0.0) || !std::isfinite(segment.stiffness)) {
            throw ModelError("stiffness of \"" + segment.label + "\" must be ≥ 0 and finite");
        }
    }
    for (std::size_t i = 0; i < corners.size(); ++i) {
        if (!std::isfinite(corners[i]) || (i > 0 && !(corners[i] > corners[i - 1]))) {
            throw ModelError("corners of a spring must rise and be finite");
        }
    }
}

}  // namespace

Law piecewise_spring(const std::vector<SpringSegment>& segments,
                     const std::vector<double>& corners) {
    check(segments, corners);
    std::size_t home = 0;  // the piece that holds zero twist
    while (home < corners.size() && corners[home] < 0.0) ++home;

    Law law;
    law.kind = "spring";
    law.start = static_cast<int>(home);
    law.modes.resize(segments.size());
    law.modes[home] = piece(segments[home], 0.0, {});
    CornerState at;
    for (std::size_t i = home; i < corners.size(); ++i) {
        const double left = i == home ? 0.0 : corners[i - 1];
        at = step_along(at, segments[i].stiffness, corners[i] - left);
        law.modes[i + 1] = piece(segments[i + 1], corners[i], at);
    }
    at = {};
    for (std::size_t i = home; i > 0; --i) {
        const double right = i == home ? 0.0 : corners[i];
        at = step_along(at, segments[i].stiffness, corners[i - 1] - right);
        law.modes[i - 1] = piece(segments[i - 1], corners[i - 1], at);
    }
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const int left = static_cast<int>(i);
        law.modes[i].guards.push_back(
            {.value = {.offset = corners[i], .twist = -1.0}, .next = left + 1});
        law.modes[i + 1].guards.push_back(
            {.value = {.offset = -corners[i], .twist = 1.0}, .next = left});
    }
    return law;
}

Law linear_spring(double k, double c) {
    if (!(k >= 0.0) || !(c >= 0.0) || !std::isfinite(k) || !std::isfinite(c)) {
        throw ModelError("stiffness and damping of a linear spring must be ≥ 0 and finite");
    }
    Law law;
    law.kind = k > 0.0 ? "spring" : "viscous";
    law.modes.push_back({.label = "linear", .spring = k, .lost_rate = c});
    return law;
}

}  // namespace damper
