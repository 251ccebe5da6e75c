// SPDX-License-Identifier: MIT
#include "libdamper/measures/known_measures.hpp"

namespace damper {

const std::vector<std::pair<std::string, std::string>>& known_measures() {
    static const std::vector<std::pair<std::string, std::string>> all{
        // idle
        {"speed_fluctuation_flywheel", "rad/s"},
        {"speed_fluctuation_flywheel_rms", "rad/s"},
        {"speed_fluctuation_flywheel_order", "rad/s"},
        {"speed_fluctuation_input", "rad/s"},
        {"speed_fluctuation_input_rms", "rad/s"},
        {"speed_fluctuation_input_order", "rad/s"},
        {"half_order_angle", "rad"},
        {"input_shaft_acceleration_peak", "rad/s2"},
        {"input_shaft_acceleration_order", "rad/s2"},
        {"transfer", "1"},
        {"impact_rate", "1/s"},
        {"impact_energy_rate", "W"},
        {"impact_impulse_mean", "N.m.s"},
        {"impact_closing_speed_rms", "rad/s"},
        {"impact_closing_speed_max", "rad/s"},
        {"impact_modulation", "1"},
        {"threshold_ratio", "1"},
        // tip-in and back-out
        {"shuffle_frequency", "Hz"},
        {"log_decrement", "1"},
        {"damping_ratio", "1"},
        {"settle_time", "s"},
        {"settle_cycles", "1"},
        {"overshoot", "1"},
        {"acceleration_peak_to_peak", "m/s2"},
        {"response_delay", "s"},
        {"jerk_peak_to_peak", "m/s3"},
        {"vibration_dose_value", "1"},
        {"lash_closings", "1"},
        {"clunk_closing_speed", "rad/s"},
        {"clunk_impulse", "N.m.s"},
        {"clunk_energy", "J"},
        {"clunk_energy_lost", "J"},
        // creep, pull and overrun
        {"torque_reversals", "1/s"},
        // pull and overrun
        {"input_shaft_acceleration_largest", "rad/s2"},
        {"input_shaft_acceleration_largest_speed", "rad/s"},
        {"transfer_largest", "1"},
        {"transfer_largest_speed", "rad/s"},
        {"isolation_speed", "rad/s"},
        {"threshold_ratio_largest", "1"},
        {"drive_shaft_torque_largest", "N.m"},
        {"drive_shaft_torque_largest_speed", "rad/s"},
        {"drive_shaft_torque_hump", "1"},
        {"stop_reserve", "1"},
        // engine start and stop
        {"passage_acceleration", "rad/s2"},
        {"passage_acceleration_speed", "rad/s"},
        {"passage_twist", "rad"},
        {"passage_twist_speed", "rad/s"},
        {"time_to_idle", "s"},
        {"run_down_time", "s"},
        // take-up
        {"slip_time", "s"},
        {"clutch_sticks", "1"},
        {"slip_energy", "J"},
        {"slip_power_peak", "W"},
        {"caught_and_let_go", "1"},
        {"slip_energy_level", "J/m2"},
        {"slip_energy_hill", "J/m2"},
        {"engine_dip", "1"},
        {"face_temperature", "K"},
        {"plate_temperature", "K"},
        {"friction_gradient", "s/m"},
        {"judder_margin", "1"},
        {"judder_mode_growth", "1/s"},
        {"judder_mode_frequency", "Hz"},
        {"judder_acceleration", "m/s2"},
        {"judder_frequency", "Hz"},
        {"judder_growth", "1/s"},
        {"judder_decrement", "1"},
        {"slip_order_acceleration", "m/s2"},
        {"slip_order_share", "1"},
        {"slip_order_frequency", "Hz"},
        // several
        {"time_beyond_first_stage", "1"},
        {"time_on_last_stage", "1"},
        {"stage_changes", "1/s"},
        {"time_at_stop", "1"},
        {"stop_contacts", "1"},
        {"twist_mean", "rad"},
        {"twist_min", "rad"},
        {"twist_max", "rad"},
    };
    return all;
}

}  // namespace damper
