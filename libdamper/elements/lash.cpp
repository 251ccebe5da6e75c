// SPDX-License-Identifier: MIT
#include "libdamper/elements/lash.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>

namespace damper {

namespace {

enum Index { free_gap = 0, drive = 1, drive_parting = 2, coast = 3, coast_parting = 4 };

/// sign·(δ − sign·gap/2): penetration of the face on that side.
Linear penetration(const Lash& l, double sign) {
    return {.offset = -0.5 * l.gap, .twist = sign};
}

/// sign·torque of that face: k·p + c·p'.
Linear push(const Lash& l, double sign) {
    return {.offset = -0.5 * l.gap * l.stiffness,
            .twist = sign * l.stiffness,
            .rate = sign * l.damping};
}

Linear negative(const Linear& a) {
    return {-a.offset, -a.twist, -a.rate, -a.memory};
}

Mode pushing(const Lash& l, double sign, int parting) {
    Mode mode;
    mode.label = sign > 0 ? "drive face" : "coast face";
    mode.spring = l.stiffness;
    mode.rest = sign * 0.5 * l.gap;
    mode.lost_rate = l.damping;
    mode.touch = sign > 0 ? Touch::drive : Touch::coast;
    // Without damping the push ends where the penetration does: straight to free.
    const int next = l.damping > 0.0 ? parting : free_gap;
    mode.guards.push_back({.value = push(l, sign), .next = next});
    return mode;
}

Mode parting(const Lash& l, double sign, int contact) {
    Mode mode;
    mode.label = sign > 0 ? "drive face parting" : "coast face parting";
    mode.guards.push_back({.value = penetration(l, sign), .next = free_gap});
    mode.guards.push_back({.value = negative(push(l, sign)), .next = contact});
    return mode;
}

}  // namespace

Law lash(const Lash& l) {
    const bool finite =
        std::isfinite(l.gap) && std::isfinite(l.stiffness) && std::isfinite(l.damping);
    if (!finite || !(l.gap >= 0.0) || !(l.stiffness > 0.0) || !(l.damping >= 0.0)) {
        throw ModelError("a lash needs gap ≥ 0, stiffness > 0 and damping ≥ 0");
    }
    Mode free{.label = "free"};
    free.guards = {{.value = negative(penetration(l, 1.0)), .next = drive},
                   {.value = negative(penetration(l, -1.0)), .next = coast}};
    Law law;
    law.kind = "lash";
    law.counts_impacts = true;
    law.modes = {free, pushing(l, 1.0, drive_parting), parting(l, 1.0, drive),
                 pushing(l, -1.0, coast_parting), parting(l, -1.0, coast)};
    return law;
}

}  // namespace damper
