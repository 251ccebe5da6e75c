// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/heat_mass.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <optional>
#include <string>

namespace damper {

/// Clutch cover: diaphragm spring, lever and pressure plate.
///
/// The spring is a slotted cone: an unbroken ring between `inner_radius` and `outer_radius`, and
/// fingers inwards. It touches the pressure plate at `load_radius` and the cover at `pivot_radius`;
/// the release bearing acts at `finger_radius`. Push type: load outside, pivot inside. Pull type:
/// pivot outside, load inside.
struct Cover {
    std::string title;
    std::string origin;
    std::string release;  ///< "push" or "pull".
    Length outer_radius;
    Length inner_radius;  ///< Of the unbroken ring: where the slots begin.
    Length load_radius;
    Length pivot_radius;
    Length finger_radius;
    Length thickness;
    Length cone_height;  ///< Of the unstressed ring, without thickness.
    Pressure modulus;
    Ratio poisson;
    Length set_deflection;  ///< Between load and pivot circle, from unstressed, with a new disc.
    Length rated_travel;    ///< Of the release bearing, from contact, for which lift is stated.
    Length elastic_loss;    ///< Plate lift lost to bending of cover and fingers at that travel.
    Length lost_lift;       ///< Further loss: bent cover, worn fingers, torn strap; 0: none.
    Length parallelism;     ///< Largest less smallest lift around the plate.
    Ratio load_factor;      ///< Of the spring's load when new; below 1: set by heat, cracked.
    Ratio wear_taken_up;    ///< Share of facing wear that a self-adjusting cover makes good.
    Length thickness_tolerance;
    Length cone_height_tolerance;
    Length set_tolerance;
    Ratio modulus_tolerance;
    HeatMass pressure_plate;
    std::optional<HeatMass> centre_plate;  ///< Between two discs.
};

}  // namespace damper
