// SPDX-License-Identifier: MIT
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {
namespace {

using std::numbers::pi;

constexpr std::array words = {
    std::pair{"threshold_ratio", "lift-off ratio of the worst loose gear"},
    std::pair{"input_shaft_acceleration_order", "input shaft acceleration at the firing order"},
    std::pair{"transfer", "swing of the input shaft over that of the flywheel"},
    std::pair{"time_beyond_first_stage", "time beyond the disc's first stage"},
    std::pair{"time_on_last_stage", "time on the disc's last stage"},
    std::pair{"impact_rate", "rate of tooth impacts"},
    std::pair{"impact_energy_rate", "energy of the tooth impacts"},
    std::pair{"half_order_angle", "flywheel swing at order ½"},
    std::pair{"overshoot", "overshoot of the acceleration"},
    std::pair{"acceleration_peak_to_peak", "acceleration swing after the first peak"},
    std::pair{"jerk_peak_to_peak", "jerk, peak to peak"},
    std::pair{"damping_ratio", "damping ratio of the shuffle"},
    std::pair{"settle_cycles", "number of shuffle cycles until it settles"},
    std::pair{"vibration_dose_value", "vibration dose (3 s)"},
    std::pair{"response_delay", "delay of the response"},
    std::pair{"clunk_energy", "energy that meets when the lash closes"},
    std::pair{"input_shaft_acceleration_largest",
              "largest input shaft acceleration at the firing order"},
    std::pair{"transfer_largest", "largest swing of the input shaft over that of the flywheel"},
    std::pair{"isolation_speed", "engine speed from which the disc isolates"},
    std::pair{"threshold_ratio_largest", "largest lift-off ratio of a loose gear"},
    std::pair{"drive_shaft_torque_largest", "largest torque swing in the drive shafts"},
    std::pair{"drive_shaft_torque_hump", "largest torque swing over its neighbours"},
    std::pair{"stop_reserve", "distance of the twist from the disc's stop"},
    std::pair{"torque_reversals", "reversals of the torque in the drive shafts"},
    std::pair{"passage_acceleration", "largest acceleration of the input shaft"},
    std::pair{"passage_twist", "largest twist of the disc"},
    std::pair{"stop_contacts", "number of contacts with the disc's stops"},
    std::pair{"flywheel_stop_contacts", "number of contacts with the two-mass flywheel's stops"},
    std::pair{"passage_flywheel_twist", "largest twist of the two-mass flywheel"},
    std::pair{"roll_rms", "roll of the power unit on its mounts, rms"},
    std::pair{"roll_peak_to_peak", "roll of the power unit on its mounts, peak to peak"},
    std::pair{"roll_stop_contacts", "number of contacts with the stops of the mounts"},
    std::pair{"capacity_factor_new", "torque held over engine torque, facings new, warm"},
    std::pair{"capacity_factor_now", "torque held over engine torque, facings as they are, warm"},
    std::pair{"capacity_factor_worn_hot", "torque held over engine torque, facings worn, hot"},
    std::pair{"capacity_factor_worn_hot_low",
              "the same at the low end of the tolerances (root of squares)"},
    std::pair{"wear_left", "wear that is left, of the allowance"},
    std::pair{"wear_held", "wear until it slips, over the allowance"},
    std::pair{"facing_pressure", "mean pressure on the facings"},
    std::pair{"disc_clearance_new", "disc clearance at full release, facings new"},
    std::pair{"disc_clearance_worn", "disc clearance at full release, facings worn"},
    std::pair{"release_margin_new", "lift beyond what the disc needs to turn freely, new"},
    std::pair{"release_margin_worn", "lift beyond what the disc needs to turn freely, worn"},
    std::pair{"lift_parallelism", "parallelism of the plate's lift"},
    std::pair{"disc_runout", "lateral runout of the disc"},
    std::pair{"load_left_at_release", "spring load left at full release, over the clamp load"},
    std::pair{"clamp_load_deviation", "measured clamp load against computed, largest deviation"},
    std::pair{"release_load_deviation",
              "measured release load against computed, largest deviation"},
    std::pair{"plate_lift_deviation", "measured plate lift against computed, largest deviation"},
    std::pair{"slip_energy_level", "slip energy per facing area, start on the level"},
    std::pair{"slip_energy_hill", "slip energy per facing area, start on the hill"},
    std::pair{"plate_temperature", "hottest plate after the starts, bulk"},
    std::pair{"face_temperature", "hottest face during the starts"},
    std::pair{"judder_acceleration", "amplitude of the acceleration between 5 and 20 Hz"},
    std::pair{"judder_margin", "damping left to the judder mode, of that with flat friction"},
    std::pair{"friction_gradient", "rise of friction with slip speed"},
    std::pair{"slip_time", "time that the clutch slips"},
    std::pair{"clutch_sticks", "clutch holding at the end (1: yes)"},
    std::pair{"engine_dip", "lowest engine speed, of idle speed"},
    std::pair{"slip_energy", "heat made by the slip"},
    std::pair{"slip_power_peak", "largest power of the slip"},
    std::pair{"slip_order_acceleration", "acceleration that turns with the slip"},
    std::pair{"judder_frequency", "frequency of the judder"},
    std::pair{"judder_growth", "growth rate of the judder"},
    std::pair{"capacity_factor_after_starts", "torque held over engine torque, after the starts"},
    std::pair{"speed_fluctuation_flywheel", "swing of the flywheel's speed, all orders"},
    std::pair{"speed_fluctuation_flywheel_order", "swing of the flywheel at the firing order"},
    std::pair{"impact_modulation", "beat of the knocks with the firing"},
    std::pair{"input_shaft_acceleration_largest_speed",
              "engine speed of the largest input shaft acceleration"},
    std::pair{"passage_acceleration_speed", "engine speed of the largest acceleration"},
    std::pair{"judder_rms", "acceleration between 5 and 20 Hz, rms"},
    std::pair{"slip_order_share", "share of the judder that turns with the slip"},
    std::pair{"shaft_order_share", "share of the judder that turns with the input shaft"},
    std::pair{"shaft_order_acceleration", "acceleration that turns with the input shaft"},
    std::pair{"shuffle_frequency", "frequency of the shuffle"},
    std::pair{"time_to_idle", "time from cranking to idle"},
    std::pair{"engine_idle_speed", "mean idle speed"},
    std::pair{"consumers_torque", "load of alternator, pumps and compressor"},
    std::pair{"weakest_cylinder", "torque of the weakest cylinder over the mean"},
    std::pair{"input_run_down", "run-down of the input shaft, pedal down"},
    std::pair{"lash_at_wheel", "free turn of a driven wheel, in gear"},
    std::pair{"engine_roll", "roll of the engine under load"},
    std::pair{"full_load_torque", "largest torque of the engine"},
    std::pair{"mass_as_driven", "mass as driven"},
    std::pair{"engine_per_road_speed", "engine speed over road speed"},
    std::pair{"lowest_speed_under_load", "lowest engine speed driven under load"},
    std::pair{"torque_rise_time", "time in which the torque follows the pedal"},
    std::pair{"bearing_travel", "travel of the release bearing"},
    std::pair{"bearing_force_pedal_up", "force on the release bearing, pedal up"},
    std::pair{"torque_held", "torque at which it slips, warm"},
    std::pair{"torque_held_hot", "torque at which it slips, hot"},
    std::pair{"clamp_load_new", "clamp load, facings new"},
    std::pair{"facing_wear", "wear of the facings"},
    std::pair{"needed_travel", "bearing travel that the disc needs"},
    std::pair{"set_shift", "deflection of the spring gained by grinding"},
    std::pair{"spring_deflection", "deflection of the diaphragm spring"},
    std::pair{"disc_play", "play of the disc about zero torque"},
    std::pair{"disc_idle_width", "width of the loop, idle stage"},
    std::pair{"disc_idle_twist", "twist of the idle stage"},
    std::pair{"disc_main_twist", "twist of the main stage"},
    std::pair{"disc_main_width", "width of the loop, main stage"},
    std::pair{"disc_drive_reach", "twist to the drive stop"},
    std::pair{"disc_coast_reach", "twist to the coast stop"},
    std::pair{"disc_coast_twist", "twist on the coast side"},
};

}  // namespace

std::string as_number(double value) {
    if (!std::isfinite(value)) return fmt::format("{}", value);
    const double size = std::abs(value);
    if (size >= 100.0 || size == 0.0) return fmt::format("{:.0f}", value);
    // Digits after the point that leave three significant ones, at most six.
    const int digits = std::clamp(2 - static_cast<int>(std::floor(std::log10(size))), 0, 6);
    std::string text = fmt::format("{:.{}f}", value, digits);
    while (text.find('.') != std::string::npos && (text.back() == '0' || text.back() == '.')) {
        const bool point = text.back() == '.';
        text.pop_back();
        if (point) break;
    }
    return text == "-0" ? "0" : text;
}

std::string as_rpm(double speed) {
    return fmt::format("{:.0f} rpm", speed * 30.0 / pi);
}
std::string as_degrees(double angle) {
    return fmt::format("{:.1f}°", angle * 180.0 / pi);
}
std::string as_celsius(double temperature) {
    return fmt::format("{:.0f} °C", temperature - 273.15);
}
std::string as_torque(double torque) {
    return as_number(torque) + " N m";
}

std::string as_percent(double share) {
    const double percent = 100.0 * share;
    if (percent > 0.0 && percent < 0.1) return "less than 0.1 %";
    const int digits = percent < 9.95 && percent > 0.0 ? 1 : 0;
    return fmt::format("{:.{}f} %", percent, digits);
}

std::string as_ratio(double ratio) {
    if (ratio > 0.0 && ratio < 0.005) return "less than 0.01 times";
    return ratio < 10.0 ? fmt::format("{:.2f} times", ratio) : as_number(ratio) + " times";
}

std::string as_times(double count) {
    const std::string text = as_number(count);
    return text == "1" ? "once" : text == "2" ? "twice" : text + " times";
}

std::string words_of(std::string_view measure) {
    for (const auto& [key, text] : words) {
        if (measure == key) return text;
    }
    std::string text(measure);
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

std::string show(std::string_view measure, std::string_view units, double value) {
    if (measure == "time_beyond_first_stage" || measure == "time_on_last_stage" ||
        measure == "stop_reserve" || measure == "time_at_stop" || measure == "overshoot" ||
        measure == "engine_dip" || measure == "slip_order_share" ||
        measure == "shaft_order_share" || measure == "wear_left" ||
        measure == "load_left_at_release" || measure.ends_with("_deviation")) {
        return as_percent(value);
    }
    if (measure == "vibration_dose_value") return as_number(value) + " m/s^1.75";
    if (measure == "impact_energy_rate") return as_number(1e3 * value) + " mW";
    if (units == "rad") return as_degrees(value);
    if (measure.starts_with("speed_fluctuation") || measure.ends_with("_speed")) {
        return as_rpm(value);
    }
    if (units == "N.m") return as_torque(value);
    if (units == "N.m.s") return as_number(value) + " N m s";
    if (units == "1/s") return as_number(value) + " per second";
    if (units == "1") return as_number(value);
    if (units == "m") return fmt::format("{:.2f} mm", 1e3 * value);
    if (units == "Pa") return as_number(1e-6 * value) + " MPa";
    if (units == "K") return as_celsius(value);
    if (units == "J/m2") return as_number(1e-6 * value) + " J/mm²";
    if (units == "rad/s2") return as_number(value) + " rad/s²";
    if (units == "m/s2") return as_number(value) + " m/s²";
    if (units == "m/s3") return as_number(value) + " m/s³";
    return fmt::format("{} {}", as_number(value), units);
}

std::string order_words(double order) {
    const double whole = std::floor(order);
    if (order - whole != 0.5) return as_number(order);
    return whole == 0.0 ? "½" : fmt::format("{}½", as_number(whole));
}

std::string stage_words(std::string_view name) {
    if (name.starts_with("stage ") || name.ends_with("stage")) return std::string(name);
    return fmt::format("{} stage", name);
}

std::string gear_words(std::string_view element) {
    constexpr std::string_view ending = " loose";
    if (!element.ends_with(ending)) return std::string(element);
    return fmt::format("loose {}", element.substr(0, element.size() - ending.size()));
}

std::string capital(std::string text) {
    if (!text.empty()) {
        text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
    }
    return text;
}

}  // namespace damper
