// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/clutch/capacity.hpp"
#include "libdamper/clutch/heat_network.hpp"
#include "libdamper/clutch/release.hpp"
#include "libdamper/clutch/wear.hpp"
#include "libdamper/parts/vehicle.hpp"

#include <Eigen/Core>
#include <string>
#include <vector>

namespace damper {

/// Cover, facings and flywheel of a vehicle in SI numbers. "Clamped new" is the state with unworn
/// facings on this flywheel: grinding moves it.
struct ClutchModel {
    ClampedCover clamped_new;
    double travel = 0.0;       ///< Of the release bearing at full pedal [m].
    double lost_lift = 0.0;    ///< [m]
    double parallelism = 0.0;  ///< [m]
    double set_shift = 0.0;    ///< What grinding adds to the spring's deflection [m].
    SpringTolerance tolerance;
    double bearing_preload = 0.0;  ///< [N]
    double pedal_ratio = 0.0;      ///< 0: not stated.
    double efficiency = 0.0;

    int faces = 2;
    int discs = 1;
    double outer_diameter = 0.0, inner_diameter = 0.0;  ///< [m]
    double friction = 0.0;
    double friction_tolerance = 0.0;
    FactorCurve fade;             ///< Over temperature [K].
    double wear_allowance = 0.0;  ///< Per face [m].
    double wear_now = 0.0;        ///< Per face [m].
    double follows = 0.0;         ///< Deflection that the spring loses per wear of one face.
    double free_movement = 0.0;   ///< Per disc [m].
    bool free_movement_stated = true;
    double runout = 0.0, runout_limit = 0.0;  ///< [m]

    /// The cover with facings worn by so much per face [m].
    [[nodiscard]] ClampedCover worn_by(double wear) const;
    /// μ at vanishing slip and a temperature [K].
    [[nodiscard]] double friction_at(double temperature) const;
};

/// Least parting of the plates for a disc to turn freely where the facings do not state it [m]:
/// about 1 mm in cars and light vans, 1.5 mm in medium and heavy trucks. Common practice, no
/// source.
[[nodiscard]] double usual_free_movement(const std::string& vehicle_class);

/// Throws InputError if the vehicle lacks cover or facings, or if what they say together cannot be:
/// a lever that loses all lift, a spring that is slack when clamped.
[[nodiscard]] ClutchModel clutch_model(const Vehicle& vehicle);

/// What of the clutch takes heat. Plates in the order pressure plate, flywheel, centre plate.
struct HeatModel {
    std::vector<std::string> plates;
    Eigen::VectorXd capacity;    ///< [J/K]
    Eigen::VectorXd to_air;      ///< [W/K]
    Eigen::MatrixXd between;     ///< [W/K]
    Eigen::VectorXd share;       ///< Of the heat; sums to 1.
    Eigen::VectorXd face_area;   ///< Rubbed on each plate [m²].
    Eigen::VectorXd effusivity;  ///< √(k·ρ·c) [W s^½ m⁻² K⁻¹]
    [[nodiscard]] HeatNetwork network() const { return {capacity, to_air, between}; }
};

/// All heat goes into the plates, half of each face pair's into its plate: facings hardly conduct.
/// Throws InputError if flywheel or centre plate are missing.
[[nodiscard]] HeatModel heat_model(const Vehicle& vehicle);

}  // namespace damper
