// SPDX-License-Identifier: MIT
#include "libdamper/elements/slider.hpp"

#include "libdamper/base/error.hpp"

#include <cmath>

namespace damper {

namespace {

enum Index { sticking = 0, slipping_up = 1, slipping_down = 2, in_play = 3, sticking_down = 4 };

/// Slipping with torque `sign`·limit; ends when the rate turns, and then the slider rests where
/// its spring, stretched to the limit behind half the play, leaves it.
Mode slipping(const Slider& s, double sign, int then) {
    Mode mode;
    mode.label = sign > 0 ? "slipping up" : "slipping down";
    mode.lost = sign * s.limit;
    mode.lost_rate = s.viscous;
    mode.energy_offset = 0.5 * s.limit * s.limit / s.grip;
    mode.guards.push_back(
        {.value = {.rate = sign},
         .next = then,
         .resets = true,
         .reset = {.offset = -sign * (s.limit / s.grip + 0.5 * s.play), .twist = 1.0}});
    return mode;
}

Mode stick(const Slider& s, const char* label, double rest) {
    Mode mode;
    mode.label = label;
    mode.spring = s.grip;
    mode.rest = rest;
    mode.memory_weight = 1.0;
    mode.lost_rate = s.viscous;
    return mode;
}

/// limit − sign·grip·(δ − rest − z): what is left before it gives way.
Guard gives_way(const Slider& s, double sign, double rest, int next) {
    return {.value = {.offset = s.limit + sign * s.grip * rest,
                      .twist = -sign * s.grip,
                      .memory = sign * s.grip},
            .next = next};
}

}  // namespace

Law slider(const Slider& s) {
    const bool finite = std::isfinite(s.limit) && std::isfinite(s.grip) && std::isfinite(s.play) &&
                        std::isfinite(s.viscous);
    if (!finite || !(s.limit > 0.0) || !(s.grip > 0.0) || !(s.play >= 0.0) || !(s.viscous >= 0.0)) {
        throw ModelError("a slider needs limit > 0, grip > 0, play ≥ 0 and damping ≥ 0");
    }
    Law law;
    law.kind = "slider";
    law.has_memory = true;
    law.is_friction = true;
    if (s.play == 0.0) {
        Mode middle = stick(s, "sticking", 0.0);
        middle.guards = {gives_way(s, 1.0, 0.0, slipping_up),
                         gives_way(s, -1.0, 0.0, slipping_down)};
        law.modes = {middle, slipping(s, 1.0, sticking), slipping(s, -1.0, sticking)};
        return law;
    }
    const double half = 0.5 * s.play;
    Mode up = stick(s, "sticking up", half);
    up.guards = {gives_way(s, 1.0, half, slipping_up),
                 {.value = {.offset = -half, .twist = 1.0, .memory = -1.0}, .next = in_play}};
    Mode down = stick(s, "sticking down", -half);
    down.guards = {gives_way(s, -1.0, -half, slipping_down),
                   {.value = {.offset = -half, .twist = -1.0, .memory = 1.0}, .next = in_play}};
    Mode play{.label = "in play", .lost_rate = s.viscous};
    play.guards = {
        {.value = {.offset = half, .twist = -1.0, .memory = 1.0}, .next = sticking},
        {.value = {.offset = half, .twist = 1.0, .memory = -1.0}, .next = sticking_down}};
    law.modes = {up, slipping(s, 1.0, sticking), slipping(s, -1.0, sticking_down), play, down};
    law.start = in_play;
    return law;
}

}  // namespace damper
