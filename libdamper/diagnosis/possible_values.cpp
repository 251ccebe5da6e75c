// SPDX-License-Identifier: MIT
#include "libdamper/diagnosis/possible_values.hpp"

#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <string>
#include <variant>

namespace damper {

namespace {

constexpr std::string_view from_current =
    "It is the torque at the crankshaft: voltage times current over (efficiency times the "
    "crankshaft's angular speed), whatever the pulleys, as power is the same at both ends of a "
    "belt. 40 A at 14 V with 60 % (alternator and belt, common practice) are 11 N m at 800 rpm, "
    "which is 83.8 rad/s.";

constexpr std::string_view no_speed = "0 rpm", most_speed = "10000 rpm";

constexpr auto all = std::to_array<PossibleValue>({
    // of runs
    {"acceleration_peak_to_peak", "0 m/s2", "100 m/s2"},
    {"damping_ratio", "-1", "1"},
    {"half_order_angle", "0 deg", "90 deg"},
    {"impact_modulation", "0", "1"},
    {"impact_rate", "0 1/s", "100000 1/s"},
    {"input_shaft_acceleration_largest", "0 rad/s2", "1000000 rad/s2"},
    {"input_shaft_acceleration_largest_speed", no_speed, most_speed},
    {"input_shaft_acceleration_order", "0 rad/s2", "1000000 rad/s2"},
    {"isolation_speed", no_speed, most_speed},
    {"jerk_peak_to_peak", "0 m/s3", "10000 m/s3"},
    {"judder_acceleration", "0 m/s2", "100 m/s2"},
    {"judder_frequency", "0 Hz", "200 Hz"},
    {"judder_growth", "-1000 1/s", "1000 1/s"},
    {"judder_rms", "0 m/s2", "100 m/s2"},
    {"overshoot", "-1", "20"},
    {"passage_acceleration", "0 rad/s2", "1000000 rad/s2"},
    {"passage_acceleration_speed", no_speed, most_speed},
    {"response_delay", "0 s", "60 s"},
    {"shuffle_frequency", "0 Hz", "200 Hz"},
    {"slip_energy", "0 kJ", "1000000 kJ"},
    {"slip_order_acceleration", "0 m/s2", "100 m/s2"},
    {"slip_order_share", "0", "1"},
    {"shaft_order_acceleration", "0 m/s2", "100 m/s2"},
    {"shaft_order_share", "0", "1"},
    {"slip_power_peak", "0 kW", "10000 kW"},
    {"slip_time", "0 s", "600 s"},
    {"speed_fluctuation_flywheel", no_speed, most_speed},
    {"speed_fluctuation_flywheel_order", no_speed, most_speed},
    {"time_to_idle", "0 s", "600 s"},
    {"transfer", "0", "30"},
    {"transfer_largest", "0", "30"},
    // of gauges, scales and the engine's own data
    {"bearing_force_pedal_up", "-1 kN", "20 kN"},
    {"bearing_travel", "0 mm", "200 mm"},
    {"consumers_torque", "0 N m", "1000 N m", from_current},
    {"cranking_speed", no_speed, "2000 rpm"},
    {"engine_idle_speed", "50 rpm", "5000 rpm"},
    {"engine_per_road_speed", "0.1 rad/m", "2000 rad/m"},
    {"engine_roll", "0 deg", "90 deg"},
    {"full_load_torque", "1 N m", "20000 N m"},
    {"input_run_down", "0 rad/s2", "100000 rad/s2"},
    {"lash_at_wheel", "0 deg", "180 deg"},
    {"lowest_speed_under_load", no_speed, most_speed},
    {"mass_as_driven", "100 kg", "200000 kg"},
    {"torque_held", "0 N m", "50000 N m"},
    {"torque_held_hot", "0 N m", "50000 N m"},
    {"torque_rise_time", "0 s", "60 s"},
    // A cylinder that does not fire still takes its compression and friction.
    {"weakest_cylinder", "-50 %", "100 %"},
    // of the press
    {"clamp_load_new", "0 kN", "500 kN"},
    {"disc_clearance_new", "-20 mm", "20 mm"},
    {"disc_runout", "0 mm", "20 mm"},
    {"facing_wear", "0 mm", "20 mm"},
    {"lift_parallelism", "0 mm", "20 mm"},
    {"needed_travel", "0 mm", "200 mm"},
    {"set_shift", "-20 mm", "20 mm"},
    {"spring_deflection", "-10 mm", "100 mm"},
    // of the disc bench
    {"disc_coast_reach", "0 deg", "180 deg"},
    {"disc_coast_twist", "0 deg", "180 deg"},
    {"disc_drive_reach", "0 deg", "180 deg"},
    {"disc_idle_twist", "0 deg", "180 deg"},
    {"disc_idle_width", "0 N m", "10000 N m"},
    {"disc_main_twist", "0 deg", "180 deg"},
    {"disc_main_width", "0 N m", "10000 N m"},
    {"disc_play", "0 deg", "180 deg"},
});

double bound(std::string_view text, std::string_view units) {
    return std::get<double>(read_in_units(text, units));
}

}  // namespace

std::span<const PossibleValue> possible_values() {
    return all;
}

const PossibleValue* possible_value(std::string_view measure) {
    const auto found = std::ranges::find(all, measure, &PossibleValue::measure);
    return found != all.end() ? &*found : nullptr;
}

std::optional<QuantityFault> impossible(std::string_view measure, std::string_view text,
                                        double value, std::string_view units) {
    const PossibleValue* known = possible_value(measure);
    if (known == nullptr) return std::nullopt;
    const double lowest = bound(known->lowest, units), highest = bound(known->highest, units);
    if (value >= lowest && value <= highest) return std::nullopt;
    const double percent = 0.01 * value;
    const bool lost_sign = units == "1" && text.find('%') == std::string_view::npos &&
                           value > highest && percent >= lowest && percent <= highest;
    return QuantityFault{1, fmt::format("{}, which {} cannot be", quote(text), measure),
                         fmt::format("at least {} and at most {}", known->lowest, known->highest),
                         lost_sign
                             ? fmt::format("Did you mean \"{} %\"?", text)
                             : std::string("Look at its unit and its sign, or take the line out.")};
}

}  // namespace damper
