// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/layout.hpp"
#include "libdamper/results/modes_record.hpp"

#include <string>
#include <tuple>
#include <vector>

/// What stands in the file of natural modes. Changing a name, a unit or a type here changes the
/// format: raise `modes_format_version`.
namespace damper::layout {

inline constexpr const char* modes_format_name = "damper modes";
inline constexpr int modes_format_version = 2;

inline constexpr std::tuple gear_points{
    Column{"gear", "", "gear engaged, or neutral", &GearModes::gear},
    Column{"ratio", "1", "engine speed over wheel speed; 0 in neutral", &GearModes::ratio},
    Column{"engine_speed", "rad/s", "mean speed of the engine", &GearModes::engine_speed},
    Column{"engine_torque", "N.m", "mean torque of the engine", &GearModes::engine_torque},
    Column{"disc_torque", "N.m", "steady torque through the disc", &GearModes::disc_torque},
    Column{"disc_stiffness", "N.m/rad", "stiffness of the disc there", &GearModes::disc_stiffness},
    Column{"disc_stage", "", "stage of the disc that moves", &GearModes::disc_stage},
    Column{"stage_asked", "", "1: the stage was asked for, whatever the torque",
           &GearModes::stage_asked},
    Column{"rigid_bodies", "", "motions without any twist", &GearModes::rigid_bodies}};
inline constexpr std::tuple engine_orders{
    Column{"order", "1", "multiple of the crank speed", &EngineOrder::order},
    Column{"name", "", "name of the order", &EngineOrder::name}};

inline constexpr std::tuple mode_inertias{
    Column{"inertia_value", "kg.m2", "moment of inertia", &GearModes::Inertia::inertia},
    Column{"speed_ratio", "1", "mean speed over that of the engine", &GearModes::Inertia::ratio}};
inline constexpr std::tuple mode_elements{
    Column{"stiffness", "N.m/rad", "about the operating point", &GearModes::Element::stiffness},
    Column{"damping", "N.m.s/rad", "about the operating point", &GearModes::Element::damping}};
inline constexpr std::tuple mode_numbers{
    Column{"frequency", "Hz", "undamped natural frequency", &ModeRow::frequency},
    Column{"damped_frequency", "Hz", "with damping; 0: does not swing", &ModeRow::damped_frequency},
    Column{"damping_ratio", "1", "-Re(s)/|s| of the eigenvalue s", &ModeRow::damping_ratio},
    Column{"likeness", "1", "of the damped shape to the undamped one", &ModeRow::likeness},
    Column{"gap", "1", "distance of the nearest other frequency, relative", &ModeRow::gap},
    Column{"modal_inertia", "kg.m2", "of the shape whose largest angle is 1",
           &ModeRow::modal_inertia}};

using ModeList = std::vector<double>;
inline constexpr std::tuple mode_by_inertia{
    Column{"shape", "1", "undamped shape, largest angle 1", &ModeRow::shape},
    Column{"damped_shape_real", "1", "damped shape, largest angle 1", &ModeRow::shape_real},
    Column{"damped_shape_imaginary", "1", "damped shape, largest angle 1",
           &ModeRow::shape_imaginary},
    Column{"kinetic_share", "1", "share of the kinetic energy", &ModeRow::kinetic_share},
    Column{"frequency_per_inertia", "Hz", "change of frequency per relative change of inertia",
           &ModeRow::change_by_inertia}};
inline constexpr std::tuple mode_by_element{
    Column{"strain_share", "1", "share of the strain energy", &ModeRow::strain_share},
    Column{"damping_share", "1", "part of the damping ratio", &ModeRow::damping_share},
    Column{"frequency_per_stiffness", "Hz", "change of frequency per relative change of stiffness",
           &ModeRow::change_by_stiffness}};

inline constexpr std::tuple slipping_points{
    Column{"gear", "", "gear engaged", &SlippingModes::gear},
    Column{"clamp_share", "1", "of the full clamp load", &SlippingModes::clamp_share},
    Column{"clamp", "N", "clamp load", &SlippingModes::clamp},
    Column{"slip_speed", "m/s", "at the mean radius of the faces", &SlippingModes::slip_speed},
    Column{"torque", "N.m", "of the faces", &SlippingModes::torque},
    Column{"friction_gradient", "s/m", "change of friction with slip speed",
           &SlippingModes::gradient},
    Column{"face_damping", "N.m.s/rad", "what that is as a damper between engine and disc",
           &SlippingModes::face_damping}};
inline constexpr std::tuple slipping_numbers{
    Column{"frequency", "Hz", "damped natural frequency", &SlippingRow::frequency},
    Column{"growth", "s-1", "real part of the eigenvalue; above 0 it grows by itself",
           &SlippingRow::growth},
    Column{"growth_flat_friction", "s-1", "the same if friction did not change with slip speed",
           &SlippingRow::flat_growth},
    Column{"damping_ratio", "1", "-Re(s)/|s| of the eigenvalue s; below 0 it grows",
           &SlippingRow::damping_ratio},
    Column{"felt", "1", "by the vehicle, of the mode that it feels most", &SlippingRow::felt}};
inline constexpr std::tuple slipping_by_inertia{
    Column{"shape_real", "1", "damped shape, largest angle 1", &SlippingRow::shape_real},
    Column{"shape_imaginary", "1", "damped shape, largest angle 1", &SlippingRow::shape_imaginary},
    Column{"kinetic_share", "1", "share of the kinetic energy", &SlippingRow::kinetic_share}};

/// A value of the description that moves a frequency.
struct InfluenceRow {
    int mode = 0;  ///< From 1.
    std::string what;
    double per_tenth = 0.0;
};
inline constexpr std::tuple mode_influences{
    Column{"of_mode", "", "number of the mode", &InfluenceRow::mode},
    Column{"what", "", "value of the description", &InfluenceRow::what},
    Column{"per_tenth", "Hz", "change of the frequency for +10 % of it", &InfluenceRow::per_tenth}};

}  // namespace damper::layout
