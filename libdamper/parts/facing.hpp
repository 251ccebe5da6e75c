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

/// Facings of a clutch with the cushion between them.
///
/// Friction at a slip speed v of the mean radius and a temperature T:
///     μ(v, T) = (friction + friction_gradient·v)·fade(T)
/// with fade straight between its points and constant outside; without points 1.
/// The cushion curve is straight between its points and begins at (0, 0); at its last point the
/// cushion is flat. Without points the disc is rigid.
struct Facing {
    std::string title;
    std::string origin;
    Length outer_diameter;
    Length inner_diameter;
    int faces = 2;                   ///< Rubbing faces: 2 with one disc, 4 with two.
    Ratio friction;                  ///< At vanishing slip, warm, run in.
    Ratio friction_tolerance;        ///< ±, of the friction itself, 0.03.
    SlipGradient friction_gradient;  ///< Rise of friction with slip speed; negative: judder.
    std::vector<FadePoint> fade;     ///< By rising temperature; may be empty.
    Length wear_allowance;           ///< Per face, down to the rivets' reserve.
    Length wear;                     ///< Per face, now.
    std::vector<CushionPoint> cushion;
    Length free_movement;  ///< The plates must part by this, from clamped, for a disc to turn
                           ///< freely; 0: not stated.
    Length runout;         ///< Lateral, at the facings.
    Length runout_limit;   ///< Contained in free_movement.
};

}  // namespace damper
