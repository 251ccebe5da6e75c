// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/heat_mass.hpp"
#include "libdamper/quantity/quantity.hpp"

namespace damper {

/// The flywheel as the clutch sees it: its rubbing face, the face that the cover is bolted to, and
/// what it takes of the heat. Its inertia belongs to the engine.
struct Flywheel {
    Length face_ground;        ///< Taken off the rubbing face.
    Length cover_face_ground;  ///< Taken off the face that the cover is bolted to.
    HeatMass heat;
    Conductance exchange;  ///< To the pressure plate, through cover and disc, per degree between.
};

}  // namespace damper
