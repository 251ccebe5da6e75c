// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <string>
#include <vector>

namespace damper {

/// How much of the friction is left at a temperature of the rubbing faces.
struct FadePoint {
    Temperature temperature;
    Ratio factor;  ///< Times `Facing::friction`.
};

/// A point of the cushion curve of one disc.
struct CushionPoint {
    Length deflection;  ///< By which the disc gets thinner. > 0
    Force load;
};

/// How much of the friction is there at a slip speed of the mean radius.
struct SlipFrictionPoint {
    Speed speed;
    Ratio factor;  ///< Times `Facing::friction`.
};

/// Facings of a clutch with the cushion between them.
///
/// Friction at a slip speed v of the mean radius and a temperature T:
///     μ(v, T) = (friction·slip_friction(v) + friction_gradient·v)·fade(T)
/// with slip_friction straight between its points, 1 at v = 0 and constant beyond the last, and
/// fade straight between its points and constant outside; without points 1. The cushion curve is
/// straight between its points and begins at (0, 0); at its last point the cushion is flat. Without
/// points the disc is rigid.
struct Facing {
    std::string title;
    std::string origin;
    Length outer_diameter;
    Length inner_diameter;
    int faces = 2;                   ///< Rubbing faces: 2 with one disc, 4 with two.
    Ratio friction;                  ///< At vanishing slip, warm, run in.
    Ratio friction_tolerance;        ///< ±, of the friction itself, 0.03.
    SlipGradient friction_gradient;  ///< Rise of friction with slip speed; negative: judder.
    std::vector<SlipFrictionPoint> slip_friction;  ///< By rising speed; may be empty.
    Ratio stiction;  ///< Friction that holds at rest over that at vanishing slip, ≥ 1.
    std::string pressure_spread;  ///< "uniform wear" or "uniform pressure".
    Ratio slip_modulation;   ///< Swing of the clamp load per turn of slip, as a share of it, 0…1.
    Ratio shaft_modulation;  ///< The same per turn of the gearbox input shaft.
    Ratio engine_modulation;      ///< The same per turn of the engine.
    std::vector<FadePoint> fade;  ///< By rising temperature; may be empty.
    Length wear_allowance;        ///< Per face, down to the rivets' reserve.
    Length wear;                  ///< Per face, now.
    std::vector<CushionPoint> cushion;
    Length free_movement;  ///< The plates must part by this, from clamped, for a disc to turn
                           ///< freely; 0: not stated.
    Length runout;         ///< Lateral, at the facings.
    Length runout_limit;   ///< Contained in free_movement.
};

}  // namespace damper
