// SPDX-License-Identifier: MIT
#include "libdamper/studies/built_in_tolerances.hpp"

#include <array>
#include <optional>

namespace damper {

namespace {

constexpr double usual = 0.005;
/// Beside loose gears that rattle nothing comes out twice alike to the last digit.
constexpr double beside_rattle = 0.03;
constexpr double twice_the_interval = 2.0;

struct Row {
    std::string_view measure;
    double absolute;  // SI; 0: none
    double relative;  // 0: none
};

/// Of single impacts, in any manoeuvre.
constexpr std::array of_impacts = {Row{"impact_rate", 3.0, 0.2},
                                   Row{"impact_energy_rate", 1e-5, 0.3},
                                   Row{"impact_impulse_mean", 0.01, 0.6},
                                   Row{"impact_closing_speed_rms", 0.0, 0.5},
                                   Row{"impact_closing_speed_max", 0.0, 0.5},
                                   Row{"impact_modulation", 0.1, 0.2}};

constexpr std::array of_change = {Row{"shuffle_frequency", 0.0, 0.001},
                                  Row{"lash_closings", 3.0, 0.1}, Row{"clunk_impulse", 0.0, 0.1},
                                  Row{"clunk_energy", 0.0, 0.03},
                                  Row{"clunk_energy_lost", 0.0, 0.05}};

constexpr std::array of_steady = {Row{"twist_mean", 1e-3, 0.05},
                                  Row{"twist_min", 1e-3, 0.05},
                                  Row{"twist_max", 1e-3, 0.05},
                                  Row{"flywheel_twist_min", 0.04, 0.05},
                                  Row{"flywheel_twist_max", 0.04, 0.05},
                                  Row{"flywheel_time_free", 0.15, 0.0},
                                  Row{"half_order_angle", 1e-3, 0.05},
                                  Row{"input_shaft_acceleration_peak", 0.0, 0.6},
                                  Row{"speed_fluctuation_input", 0.0, 0.3},
                                  Row{"speed_fluctuation_input_rms", 0.0, 0.4},
                                  Row{"speed_fluctuation_input_order", 0.0, 0.1},
                                  Row{"input_shaft_acceleration_order", 0.0, 0.1},
                                  Row{"transfer", 0.0, 0.1},
                                  Row{"threshold_ratio", 0.0, 0.1},
                                  Row{"time_beyond_first_stage", 0.03, 0.0},
                                  Row{"time_on_last_stage", 0.03, 0.0},
                                  Row{"stage_changes", 3.0, 0.2},
                                  Row{"torque_reversals", 3.0, 0.2}};

/// Where the largest of many peaks lies says little where the next one is as high.
constexpr std::array of_sweep = {Row{"input_shaft_acceleration_largest", 0.0, 0.2},
                                 Row{"input_shaft_acceleration_largest_speed", 300.0, 0.3},
                                 Row{"transfer_largest", 0.0, 0.25},
                                 Row{"transfer_largest_speed", 300.0, 0.2},
                                 Row{"isolation_speed", 0.0, 0.5},
                                 Row{"threshold_ratio_largest", 0.0, 0.2},
                                 Row{"drive_shaft_torque_largest_speed", 0.0, 0.1},
                                 Row{"drive_shaft_torque_hump", 0.0, 0.1},
                                 Row{"stage_changes", 3.0, 0.2},
                                 Row{"torque_reversals", 3.0, 0.2}};

constexpr std::array of_passage = {
    Row{"passage_acceleration", 0.0, 0.8}, Row{"passage_acceleration_speed", 100.0, 0.0},
    Row{"passage_twist", 3e-4, 0.3},       Row{"passage_twist_speed", 100.0, 0.0},
    Row{"twist_min", 3e-4, 0.05},          Row{"twist_max", 3e-4, 0.05},
    Row{"twist_mean", 3e-4, 0.05},         Row{"flywheel_time_free", 0.05, 0.0},
    Row{"stage_changes", 3.0, 0.2},        Row{"time_beyond_first_stage", 0.03, 0.0}};

template <std::size_t N>
std::optional<Tolerance> find_in(const std::array<Row, N>& rows, std::string_view measure) {
    for (const Row& row : rows) {
        if (row.measure != measure) continue;
        Tolerance out{.absolute = {}, .relative = {}, .intervals = twice_the_interval};
        if (row.absolute > 0.0) out.absolute = row.absolute;
        if (row.relative > 0.0) out.relative = row.relative;
        return out;
    }
    return std::nullopt;
}

std::optional<Tolerance> special(MeasureKind kind, std::string_view measure) {
    switch (kind) {
        case MeasureKind::steady:
            return find_in(of_steady, measure);
        case MeasureKind::change:
            return find_in(of_change, measure);
        case MeasureKind::sweep:
            return find_in(of_sweep, measure);
        case MeasureKind::passage:
        case MeasureKind::take_up:
            return find_in(of_passage, measure);
    }
    return std::nullopt;
}

}  // namespace

Tolerance built_in_tolerance(MeasureKind kind, std::string_view measure) {
    if (const auto found = find_in(of_impacts, measure)) return *found;
    if (const auto found = special(kind, measure)) return *found;
    return {.absolute = {},
            .relative = kind == MeasureKind::change ? usual : beside_rattle,
            .intervals = twice_the_interval};
}

Tolerance built_in_signal_tolerance(std::string_view signal) {
    // The only one of an engine start that teeth leave a trace in.
    const double share = signal == "input_shaft_speed" ? 0.02 : 0.01;
    return {.absolute = {}, .relative = share, .intervals = {}};
}

}  // namespace damper
