// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// What a measure must know of a clutch that slips and takes a vehicle up. SI.
struct ClutchFacts {
    double starts = 0.0;             ///< When it begins to close [s].
    double grade = 0.0;              ///< Of the road, rise over run.
    double held_speed = 0.0;         ///< Engine speed that driver and governor hold [rad/s].
    double full_clamp = 0.0;         ///< Clamp load with the pedal up [N].
    double capacity = 0.0;           ///< Torque that the faces hold under it [N m].
    double face_area = 0.0;          ///< Of all facings [m²].
    double face_temperature = 0.0;   ///< At the beginning [K].
    double friction_gradient = 0.0;  ///< Rise of friction per slip speed, at small slip [s/m].
    double uneven_slip = 0.0;        ///< Swing of the clamp load per turn of slip, a share.
    double uneven_shaft = 0.0;       ///< Per turn of the input shaft.
    double uneven_engine = 0.0;      ///< Per turn of the engine.

    struct Plate {
        std::string name;
        double capacity = 0.0;    ///< [J/K]
        double share = 0.0;       ///< Of the heat.
        double face_area = 0.0;   ///< Rubbed [m²].
        double effusivity = 0.0;  ///< √(k·ρ·c) [W s^½ m⁻² K⁻¹]
    };
    std::vector<Plate> plates;

    /// The slipping driveline's judder mode under a steady clamp load: it grows as e^(growth·t).
    struct Slipping {
        double clamp = 0.0;      ///< [N]
        double growth = 0.0;     ///< [1/s]; negative: dies away
        double flat = 0.0;       ///< The same if friction did not change with slip [1/s].
        double frequency = 0.0;  ///< [Hz]
    };
    std::vector<Slipping> slipping;  ///< By rising clamp load; empty: no mode in the band.
};

}  // namespace damper
