// SPDX-License-Identifier: MIT
#include "libdamper/outputs/response_words.hpp"

#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr double unchanged = 0.05;  // reads as "as it is"

std::string gear_words(const ResponseRecord& record) {
    return record.gear == "neutral" ? "in neutral" : "in gear " + record.gear;
}

}  // namespace

Shown shown_per_torque(std::string_view units) {
    if (units == "1") return {.factor = 1.0, .units = "N m per N m"};
    for (const std::string_view inner : {"rad", "rad/s", "rad/s2"}) {
        if (units != fmt::format("({})/(N.m)", inner) && units != fmt::format("{}/(N.m)", inner)) {
            continue;
        }
        Shown shown = shown_as(inner);
        shown.units += " per N m";
        return shown;
    }
    return {.factor = 1.0, .units = std::string(units)};
}

std::string isolation_words(double ratio) {
    if (!std::isfinite(ratio)) return "–";
    if (std::abs(ratio - 1.0) <= unchanged) return "passes it on as it is";
    if (ratio > 1.0) return fmt::format("amplifies {:.3g} times", ratio);
    return fmt::format("lets through {}", percent_text(ratio));
}

std::string point_words(const ResponseRecord& record) {
    const bool between = record.stage == "between stages";
    const bool stop = record.stage == "stop";
    const std::string where = between ? "it stands between two stages"
                              : stop  ? "it stands on its stop"
                                      : fmt::format("its stage \"{}\" moves", record.stage);
    std::string text = fmt::format(
        "Small swings {} at {}, with {} from the engine. The disc carries {}: {}, with {}.",
        gear_words(record), quantity_text(record.speed, "rad/s"),
        quantity_text(record.torque, "N.m"), quantity_text(record.disc_torque, "N.m"), where,
        quantity_text(record.disc_stiffness, "N.m/rad"));
    text += fmt::format(" The engine fires at order {}: {} Hz", number_text(record.firing_order),
                        number_text(record.firing_frequency));
    if (record.firing_torque > 0.0) {
        text += fmt::format(", where its torque swings by ±{}",
                            quantity_text(record.firing_torque, "N.m"));
    }
    return text + ".";
}

std::string met_words(const ResponseRecord& record) {
    if (record.equivalent.empty()) return {};
    const EquivalentRow& row = record.at_firing;
    std::string text = fmt::format(
        "At {} Hz ±{} at the {} twist the {} by ±{} about {}. Over that swing it is a "
        "spring of "
        "{} with a damping of {}; of the flywheel's swing it {}.",
        number_text(row.frequency), quantity_text(record.swing, "N.m"),
        record.from == "engine torque" ? "engine" : record.from.substr(10), record.swinging,
        quantity_text(row.twist, "rad"), quantity_text(row.mean_twist, "rad"),
        quantity_text(row.stiffness, "N.m/rad"), quantity_text(row.damping, "N.m.s/rad"),
        row.isolation > 1.0 + unchanged
            ? fmt::format("makes {:.3g} times as much", row.isolation)
            : fmt::format("lets through {}", percent_text(row.isolation)));
    if (row.smaller_twist > 0.0) {
        text += fmt::format(" It can also stay at ±{}, and then it {}.",
                            quantity_text(row.smaller_twist, "rad"),
                            isolation_words(row.smaller_isolation));
    }
    return text;
}

std::string friction_words(const ResponseRecord& record) {
    if (record.friction == "sticks") return "friction sticking";
    if (record.friction == "slips") return "friction slipping";
    return fmt::format("the {} as it is at the swing that ±{} makes", record.swinging,
                       quantity_text(record.swing, "N.m"));
}

std::string_view response_method() {
    return "Friction slipping: washers give way and hold nothing, the limit of large swings. "
           "Friction sticking: they grip, the limit of small ones. At the swing it meets: first "
           "harmonic of the loop of the disc, or of a two-mass flywheel, all stages and washers in "
           "it, at the amplitude with which "
           "the driveline answers (equivalent linearisation). The torque has one amplitude over "
           "the whole band, tooth contacts do not part, and what beats at several times the "
           "frequency is left out: damper run follows it in time.";
}

std::vector<Heading> stage_headings() {
    return {
        {"Stage", false},   {"Side", false},    {"Torque [N m]", true}, {"Stiffness [N m/°]", true},
        {"Slipping", true}, {"Sticking", true}, {"Slipping it", false}};
}

std::vector<std::vector<std::string>> stage_rows(const ResponseRecord& record) {
    std::vector<std::vector<std::string>> rows;
    const double per_degree = shown_as("N.m/rad").factor;
    for (const StageIsolation& stage : record.stages) {
        rows.push_back({stage.stage, stage.side, number_text(stage.torque),
                        number_text(stage.stiffness * per_degree), number_text(stage.slips_firing),
                        number_text(stage.sticks_firing), isolation_words(stage.slips_firing)});
    }
    return rows;
}

std::vector<Heading> resonance_headings() {
    return {{"Response", false},
            {"Frequency [Hz]", true},
            {"Peak", true},
            {"Unit", false},
            {"Damping", true}};
}

std::vector<std::vector<std::string>> resonance_rows(const ResponseRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const ResponseCurve& curve : record.curves) {
        const Shown shown = shown_per_torque(curve.units);
        for (const ResponseCurve::Top& top : curve.tops) {
            rows.push_back({curve.label, number_text(top.frequency),
                            number_text(top.peak * shown.factor), shown.units,
                            std::isfinite(top.damping) ? percent_text(top.damping) : "–"});
        }
        if (curve.tops.empty()) rows.push_back({curve.label, "none", "–", shown.units, "–"});
    }
    return rows;
}

}  // namespace damper
