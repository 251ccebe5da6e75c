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
    Limit{"threshold_ratio_largest", "", 0.9, 1.5, lift_off},
    Limit{"isolation_speed", "car", 1200.0 * rpm, 1500.0 * rpm, working},
    Limit{"isolation_speed", "light van", 1200.0 * rpm, 1300.0 * rpm, working},
    Limit{"isolation_speed", "medium truck", 1000.0 * rpm, 1200.0 * rpm, working},
    Limit{"isolation_speed", "heavy truck", 900.0 * rpm, 1000.0 * rpm, working},
    Limit{"drive_shaft_torque_hump", "", 1.5, 2.5, working},
    Limit{"stop_reserve", "", 0.1, 0.0, working},
    // Creep, pull and overrun: the teeth should keep to one face.
    Limit{"torque_reversals", "", 0.0, 5.0, working},
    // All: the stops of the disc are not meant to be reached.
    Limit{"stop_contacts", "", 0.0, 0.0, working},
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
