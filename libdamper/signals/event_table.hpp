// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// One contact of a lash element, from touching to parting.
struct Impact {
    double time = 0.0;           ///< Of touching [s].
    int element = 0;             ///< Index into EventTable::elements.
    int side = 0;                ///< +1 drive face, −1 coast face.
    double closing_speed = 0.0;  ///< Rate of the twist at touching, ≥ 0 [rad/s].
    double impulse = 0.0;        ///< ∫ torque dt over the contact, ≥ 0 [N m s].
    double peak_torque = 0.0;    ///< Largest torque in the contact, ≥ 0 [N m].
    double energy_lost = 0.0;    ///< Dissipated in the contact [J].
    double duration = 0.0;       ///< [s]; of an unfinished contact up to the end of the run.
    double crank_angle = 0.0;    ///< Of touching, counted on from the start of the run [rad].
};

/// One change of mode of a part of an element.
struct ModeChange {
    double time = 0.0;  ///< [s]
    int element = 0;    ///< Index into EventTable::elements.
    int from = 0;       ///< Index into EventTable::modes.
    int to = 0;         ///< Index into EventTable::modes.
};

/// Impacts and mode changes in order of time (of touching).
struct EventTable {
    std::vector<std::string> elements;  ///< "gear 3 loose", "disc stage 1 spring", …
    std::vector<std::string> modes;     ///< "free", "drive stop", …
    std::vector<Impact> impacts;
    std::vector<ModeChange> changes;
};

}  // namespace damper
