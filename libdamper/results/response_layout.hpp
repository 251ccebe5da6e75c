// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/layout.hpp"
#include "libdamper/results/response_record.hpp"

#include <string>
#include <tuple>

/// What stands in the file of a response. Changing a name, a unit or a type here changes the
/// format: raise `response_format_version`.
namespace damper::layout {

inline constexpr const char* response_format_name = "damper response";
inline constexpr int response_format_version = 2;

/// A top of a curve, in one table for all curves.
struct TopRow {
    std::string response;
    double frequency = 0.0, peak = 0.0, damping = 0.0;
};

inline constexpr std::tuple response_inertias{
    Column{"name", "", "name of the inertia", &ResponseRecord::Inertia::name},
    Column{"inertia", "kg.m2", "moment of inertia J", &ResponseRecord::Inertia::inertia}};
inline constexpr std::tuple response_elements{
    Column{"name", "", "name of the element", &ResponseRecord::Element::name},
    Column{"stiffness", "N.m/rad", "torque per twist", &ResponseRecord::Element::stiffness},
    Column{"damping", "N.m.s/rad", "torque per rate of twist", &ResponseRecord::Element::damping}};
inline constexpr std::tuple response_rows{
    Column{"element", "", "row in elements", &ResponseRecord::Coefficient::element},
    Column{"inertia", "", "row in inertias", &ResponseRecord::Coefficient::inertia},
    Column{"coefficient", "1", "g in twist = sum of g times angle",
           &ResponseRecord::Coefficient::coefficient}};
inline constexpr std::tuple response_tops{
    Column{"response", "", "group in spectra", &TopRow::response},
    Column{"frequency", "Hz", "frequency of the top", &TopRow::frequency},
    Column{"peak", "", "magnitude there, in the unit of the response", &TopRow::peak},
    Column{"damping", "1", "half the width at 0.7071 of the peak over the frequency",
           &TopRow::damping}};
inline constexpr std::tuple response_stages{
    Column{"stage", "", "stage of the disc that moves", &StageIsolation::stage},
    Column{"side", "", "drive or coast", &StageIsolation::side},
    Column{"torque", "N.m", "steady torque in the middle of the stage", &StageIsolation::torque},
    Column{"stiffness", "N.m/rad", "of the whole disc", &StageIsolation::stiffness},
    Column{"slips", "1", "gearbox input over flywheel at the firing frequency, friction slipping",
           &StageIsolation::slips_firing},
    Column{"sticks", "1", "gearbox input over flywheel at the firing frequency, friction sticking",
           &StageIsolation::sticks_firing}};

/// Columns along the frequency of the swing that is met.
inline constexpr std::tuple response_equivalent{
    Column{"twist", "rad", "amplitude of the twist of the disc", &EquivalentRow::twist},
    Column{"mean_twist", "rad", "mean twist of the disc", &EquivalentRow::mean_twist},
    Column{"stiffness", "N.m/rad", "stiffness of the disc at that swing",
           &EquivalentRow::stiffness},
    Column{"damping", "N.m.s/rad", "damping of the disc at that swing", &EquivalentRow::damping},
    Column{"isolation", "1", "speed of gearbox input over flywheel", &EquivalentRow::isolation},
    Column{"mismatch", "1", "twist answered over twist assumed, less one",
           &EquivalentRow::mismatch},
    Column{"smaller_twist", "rad", "a second, smaller swing; 0: none",
           &EquivalentRow::smaller_twist},
    Column{"smaller_isolation", "1", "isolation in that swing; 0: none",
           &EquivalentRow::smaller_isolation}};

}  // namespace damper::layout
