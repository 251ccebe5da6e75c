// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// A piecewise-linear law is a table of modes.
///
/// Inside a mode the torque that opposes the twist δ [rad] is
///
///     τ = spring·(δ − rest − memory_weight·z) + lost + lost_rate·δ'
///
/// with z [rad] the law's memory: a twist that changes only when the mode does (the place where a
/// friction washer rests). The first term stores energy, the rest turns it into heat, so that
/// energy can be booked without knowing what the law stands for:
///
///     stored  = energy_offset + ½·spring·(δ − rest − memory_weight·z)²
///     heating = (lost + lost_rate·δ')·δ'
///
/// A mode ends when one of its guards falls below zero. Twist and rate are continuous there;
/// the memory may be set anew.

/// A linear expression in the law's own twist, rate and memory.
struct Linear {
    double offset = 0.0;
    double twist = 0.0;   ///< Factor of δ.
    double rate = 0.0;    ///< Factor of δ'.
    double memory = 0.0;  ///< Factor of z.

    [[nodiscard]] double at(double delta, double delta_rate, double z) const {
        return offset + twist * delta + rate * delta_rate + memory * z;
    }
};

/// The mode ends when `value` is negative and falling. Negative alone is not enough: right after
/// a switch a guard may stand at zero by rounding while it rises, and would fire for ever.
struct Guard {
    Linear value;
    int next = 0;         ///< Index of the mode that follows.
    bool resets = false;  ///< Whether the memory becomes `reset` (rate not used).
    Linear reset = {};
};

/// What a mode means to those who count contacts.
enum class Touch { none, drive, coast };

struct Mode {
    std::string label;           ///< "free", "sticking", "drive stop", …
    double spring = 0.0;         ///< [N m/rad], ≥ 0
    double rest = 0.0;           ///< [rad]
    double memory_weight = 0.0;  ///< 0 or 1
    double energy_offset = 0.0;  ///< Makes the stored energy continuous from mode to mode [J].
    double lost = 0.0;           ///< [N m]
    double lost_rate = 0.0;      ///< [N m s/rad], ≥ 0
    Touch touch = Touch::none;   ///< Pushing face, for laws with `counts_impacts`.
    std::vector<Guard> guards = {};

    [[nodiscard]] double extension(double delta, double z) const {
        return delta - rest - memory_weight * z;
    }
    [[nodiscard]] double torque(double delta, double rate, double z) const {
        return spring * extension(delta, z) + lost + lost_rate * rate;
    }
    [[nodiscard]] double stored(double delta, double z) const {
        const double x = extension(delta, z);
        return energy_offset + 0.5 * spring * x * x;
    }
};

struct Law {
    std::string kind;  ///< "spring", "slider", "lash", "viscous".
    std::vector<Mode> modes;
    int start = 0;  ///< Mode at zero twist and rate with zero memory.
    bool has_memory = false;
    bool is_friction = false;     ///< Its torque at rest depends on the past, not on the twist.
    bool counts_impacts = false;  ///< A contact whose touches are recorded.
};

}  // namespace damper
