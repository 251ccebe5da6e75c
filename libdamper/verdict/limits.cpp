// SPDX-License-Identifier: MIT
#include "libdamper/verdict/limits.hpp"

#include <array>
#include <numbers>

namespace damper {
namespace {

constexpr std::string_view working = "working band of this tool; common practice, no source";
constexpr std::string_view lift_off =
    "lift-off at 1 follows from the loose gear's equation of motion; the band about it is a "
    "working band of this tool";
constexpr double degree = std::numbers::pi / 180.0;
constexpr double rpm = std::numbers::pi / 30.0;
constexpr double mm = 1e-3;
constexpr double celsius = 273.15;  // 0 °C [K]

constexpr std::string_view new_clutch =
    "design practice 1.2…1.75 (Wang Wangyu, Automobile Design; recalled); the limits of each class "
    "are a working band of this tool";
constexpr std::string_view hot_worn = "common practice, no source: 1.05…1.10 hot and worn";
constexpr std::string_view about_clearance =
    "about 1 mm for cars and light vans, 1.5 mm for medium and heavy trucks; bad below half: "
    "common practice, no source";
constexpr std::string_view holds = "below 1 the clutch slips, by definition";
constexpr std::string_view turns_freely =
    "below 0 the disc cannot turn freely, by definition; 0.3 mm in hand: common practice, no "
    "source";
constexpr std::string_view service_limit =
    "usual limits new and in service, recalled; the maker's figure comes first";
constexpr std::string_view slip_work =
    "design limit of the slip work of one start (Wang Wangyu, Automobile Design; recalled); on a "
    "hill up to twice as much: working band of this tool";

constexpr std::string_view published_gradient =
    "below -0.005 s/m judder is no longer damped out (Study of the judder characteristics of "
    "friction material for an automobile clutch, Chinese J. Mech. Eng. 2023, "
    "doi 10.1186/s10033-023-00864-y); -0.002: recalled, no source";
constexpr std::string_view grows =
    "below 0 a judder grows, by the eigenvalue; 0.3 in hand: working band of this tool";

constexpr std::array limits = {
    // Idle.
    Limit{"threshold_ratio", "", 0.9, 1.5, lift_off},
    Limit{"input_shaft_acceleration_order", "car", 150.0, 300.0, working},
    Limit{"input_shaft_acceleration_order", "light van", 200.0, 350.0, working},
    Limit{"input_shaft_acceleration_order", "medium truck", 120.0, 250.0, working},
    Limit{"input_shaft_acceleration_order", "heavy truck", 100.0, 200.0, working},
    Limit{"transfer", "", 0.4, 0.8, working},
    Limit{"time_on_last_stage", "", 0.0, 0.02, working},
    Limit{"impact_rate", "", 50.0, 150.0, working},
    Limit{"impact_energy_rate", "car", 0.010, 0.050, working},
    Limit{"impact_energy_rate", "light van", 0.010, 0.050, working},
    Limit{"impact_energy_rate", "medium truck", 0.025, 0.125, working},
    Limit{"impact_energy_rate", "heavy truck", 0.050, 0.250, working},
    Limit{"half_order_angle", "", 0.5 * degree, 1.5 * degree, working},
    // Tip-in and back-out.
    Limit{"overshoot", "", 0.3, 0.6, working},
    Limit{"acceleration_peak_to_peak", "", 0.5, 1.2, working},
    Limit{"jerk_peak_to_peak", "", 8.0, 15.0, working},
    Limit{"damping_ratio", "", 0.15, 0.07, working},
    Limit{"settle_cycles", "", 2.0, 4.0, working},
    Limit{"vibration_dose_value", "", 0.5, 1.0, working},
    Limit{"response_delay", "", 0.2, 0.4, working},
    Limit{"clunk_energy", "car", 5.0, 20.0, working},
    Limit{"clunk_energy", "light van", 5.0, 20.0, working},
    // Pull and overrun.
    Limit{"input_shaft_acceleration_largest", "car", 300.0, 500.0, working},
    Limit{"input_shaft_acceleration_largest", "light van", 300.0, 500.0, working},
    Limit{"input_shaft_acceleration_largest", "medium truck", 250.0, 450.0, working},
    Limit{"input_shaft_acceleration_largest", "heavy truck", 200.0, 400.0, working},
    Limit{"isolation_speed", "car", 1200.0 * rpm, 1500.0 * rpm, working},
    Limit{"isolation_speed", "light van", 1200.0 * rpm, 1300.0 * rpm, working},
    Limit{"isolation_speed", "medium truck", 1000.0 * rpm, 1200.0 * rpm, working},
    Limit{"isolation_speed", "heavy truck", 900.0 * rpm, 1000.0 * rpm, working},
    Limit{"drive_shaft_torque_hump", "", 1.5, 2.5, working},
    Limit{"stop_reserve", "", 0.1, 0.0, working},
    // Creep, pull and overrun: the teeth should keep to one face.
    Limit{"torque_reversals", "", 0.0, 5.0, working},
    // All: the stops of the disc are not meant to be reached.
    // Clutch: torque that it holds, over the torque asked for.
    Limit{"capacity_factor_new", "car", 1.3, 1.05, new_clutch},
    Limit{"capacity_factor_new", "light van", 1.3, 1.05, new_clutch},
    Limit{"capacity_factor_new", "medium truck", 1.15, 1.05, new_clutch},
    Limit{"capacity_factor_new", "heavy truck", 1.2, 1.05, new_clutch},
    Limit{"capacity_factor_now", "", 1.1, 1.0, holds},
    Limit{"capacity_factor_worn_hot", "", 1.05, 1.0, hot_worn},
    Limit{"capacity_factor_worn_hot_low", "", 1.0, 0.9, working},
    Limit{"wear_left", "", 0.2, 0.0, working},
    Limit{"wear_held", "", 1.1, 1.0, working},
    Limit{"facing_pressure", "", 0.35e6, 0.40e6,
          "0.15…0.35 MPa for organic facings (Wang Wangyu, Automobile Design; recalled)"},
    // Clutch: release.
    Limit{"disc_clearance_new", "car", 1.0 * mm, 0.5 * mm, about_clearance},
    Limit{"disc_clearance_new", "light van", 1.0 * mm, 0.5 * mm, about_clearance},
    Limit{"disc_clearance_new", "medium truck", 1.5 * mm, 0.75 * mm, about_clearance},
    Limit{"disc_clearance_new", "heavy truck", 1.5 * mm, 0.75 * mm, about_clearance},
    Limit{"disc_clearance_worn", "car", 1.0 * mm, 0.5 * mm, about_clearance},
    Limit{"disc_clearance_worn", "light van", 1.0 * mm, 0.5 * mm, about_clearance},
    Limit{"disc_clearance_worn", "medium truck", 1.5 * mm, 0.75 * mm, about_clearance},
    Limit{"disc_clearance_worn", "heavy truck", 1.5 * mm, 0.75 * mm, about_clearance},
    Limit{"release_margin_new", "", 0.3 * mm, 0.0, turns_freely},
    Limit{"release_margin_worn", "", 0.3 * mm, 0.0, turns_freely},
    Limit{"lift_parallelism", "car", 0.15 * mm, 0.3 * mm, service_limit},
    Limit{"lift_parallelism", "light van", 0.2 * mm, 0.3 * mm, service_limit},
    Limit{"lift_parallelism", "medium truck", 0.3 * mm, 0.4 * mm, service_limit},
    Limit{"lift_parallelism", "heavy truck", 0.3 * mm, 0.5 * mm, service_limit},
    Limit{"disc_runout", "car", 0.5 * mm, 0.8 * mm, service_limit},
    Limit{"disc_runout", "light van", 0.5 * mm, 0.8 * mm, service_limit},
    Limit{"disc_runout", "medium truck", 0.6 * mm, 1.0 * mm, service_limit},
    Limit{"disc_runout", "heavy truck", 0.7 * mm, 1.2 * mm, service_limit},
    Limit{"load_left_at_release", "", 0.2, 0.0,
          "below 0 the spring snaps over and does not come back, by its equation; 0.2 is a working "
          "band of this tool"},
    // Clutch: measured curves over computed ones.
    Limit{"clamp_load_deviation", "", 0.10, 0.20,
          "clamp loads of new covers lie within 8…10 %: common practice, no source; twice that is "
          "bad: working band of this tool"},
    Limit{"release_load_deviation", "", 0.15, 0.30, working},
    Limit{"plate_lift_deviation", "", 0.10, 0.20, working},
    // Clutch: heat.
    Limit{"slip_energy_level", "car", 0.40e6, 0.40e6, slip_work},
    Limit{"slip_energy_level", "light van", 0.33e6, 0.33e6, slip_work},
    Limit{"slip_energy_level", "medium truck", 0.25e6, 0.25e6, slip_work},
    Limit{"slip_energy_level", "heavy truck", 0.25e6, 0.25e6, slip_work},
    Limit{"slip_energy_hill", "car", 0.40e6, 0.80e6, slip_work},
    Limit{"slip_energy_hill", "light van", 0.33e6, 0.66e6, slip_work},
    Limit{"slip_energy_hill", "medium truck", 0.25e6, 0.50e6, slip_work},
    Limit{"slip_energy_hill", "heavy truck", 0.25e6, 0.50e6, slip_work},
    Limit{"plate_temperature", "", 150.0 + celsius, 250.0 + celsius,
          "150 and 250 °C: recalled, no source; the facing maker's figure comes first"},
    Limit{"face_temperature", "", 250.0 + celsius, 300.0 + celsius,
          "250…300 °C, where organic facings lose their friction (abstract of a simulation of dry "
          "clutch engagement and its temperature field; recalled)"},
    Limit{"capacity_factor_after_starts", "", 1.05, 1.0, hot_worn},
    // Take-up.
    Limit{"judder_acceleration", "", 0.15, 0.5, "recalled, no source; above 1 m/s² it is violent"},
    Limit{"judder_margin", "", 0.3, 0.0, grows},
    Limit{"friction_gradient", "", -0.002, -0.005, published_gradient},
    Limit{"slip_time", "car", 2.0, 4.0, working},
    Limit{"slip_time", "light van", 2.5, 5.0, working},
    Limit{"slip_time", "medium truck", 3.0, 6.0, working},
    Limit{"slip_time", "heavy truck", 3.0, 6.0, working},
    Limit{"clutch_sticks", "", 1.0, 0.5,
          "the clutch must hold at the end of a start, by definition"},
    Limit{"engine_dip", "", 0.7, 0.5, working},
    // Both manoeuvres: the stops of the disc are not meant to be reached.
    Limit{"stop_contacts", "", 0.0, 0.0, working},
    // A short rattle of a two-mass flywheel at start and stop can be normal.
    Limit{"flywheel_stop_contacts", "", 0.0, 10.0, working},
    Limit{"roll_stop_contacts", "", 0.0, 10.0, working},
};

}  // namespace

std::span<const Limit> all_limits() {
    return limits;
}

std::optional<Limit> find_limit(std::string_view measure, std::string_view vehicle_class) {
    for (const Limit& limit : limits) {
        if (limit.measure == measure &&
            (limit.vehicle_class.empty() || limit.vehicle_class == vehicle_class)) {
            return limit;
        }
    }
    return std::nullopt;
}

}  // namespace damper
