// SPDX-License-Identifier: MIT
#include "libdamper/parts/engine.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <set>
#include <string_view>
#include <utility>

namespace damper {

namespace {

constexpr double cycle = 4.0 * std::numbers::pi;  // of a four-stroke engine [rad]
constexpr double cycle_slack = 1e-6;              // decimals of typed angles [rad]

void check_firing_order(const Engine& engine, std::vector<Finding>& findings) {
    const auto wrong = [&](std::string key, std::string found) {
        findings.push_back({{},
                            std::move(key),
                            std::move(found),
                            fmt::format("each cylinder from 1 to {} once", engine.cylinders),
                            "Give the cylinder numbers in the order in which they fire."});
    };
    if (std::ssize(engine.firing_order) != engine.cylinders) {
        wrong("firing_order", fmt::format("{} entries for {} cylinders", engine.firing_order.size(),
                                          engine.cylinders));
        return;
    }
    std::set<int> seen;
    for (std::size_t i = 0; i < engine.firing_order.size(); ++i) {
        const int cylinder = engine.firing_order[i];
        const std::string key = fmt::format("firing_order[{}]", i);
        if (cylinder < 1 || cylinder > engine.cylinders) {
            wrong(key, fmt::format("cylinder {} of {}", cylinder, engine.cylinders));
        } else if (!seen.insert(cylinder).second) {
            wrong(key, fmt::format("cylinder {} a second time", cylinder));
        }
    }
}

void check_per_cylinder(const Engine& engine, std::vector<Finding>& findings) {
    const auto count = [&](std::string_view key, std::ptrdiff_t size) {
        if (size == 0 || size == engine.cylinders) return true;
        findings.push_back({{},
                            std::string(key),
                            fmt::format("{} entries for {} cylinders", size, engine.cylinders),
                            "one entry per cylinder, or none",
                            ""});
        return false;
    };
    if (count("cylinder_gains", std::ssize(engine.cylinder_gains)) &&
        !engine.cylinder_gains.empty() &&
        std::ranges::all_of(engine.cylinder_gains, [](Ratio gain) { return gain.si() == 0.0; })) {
        findings.push_back({{},
                            "cylinder_gains",
                            "no cylinder that fires",
                            "at least one gain above 0",
                            "An engine without any heat does not idle."});
    }
    if (engine.firing_intervals.empty()) return;
    if (!count("firing_intervals", std::ssize(engine.firing_intervals))) return;
    double sum = 0.0;
    for (const Angle& interval : engine.firing_intervals) sum += interval.si();
    if (std::abs(sum - cycle) > cycle_slack) {
        findings.push_back({{},
                            "firing_intervals",
                            "intervals that add up to " + write_quantity(Angle::from_si(sum)),
                            "720 deg, two turns of the crankshaft",
                            ""});
    }
}

void need(bool stated, std::string_view key, std::string_view example, const Engine& engine,
          std::vector<Finding>& findings) {
    if (stated) return;
    findings.push_back({{},
                        std::string(key),
                        "no such key",
                        fmt::format("a value, because torque is \"{}\"", engine.torque),
                        fmt::format("Add it, for example {}.", example)});
}

void check_cylinder(const Engine& engine, std::vector<Finding>& findings) {
    need(engine.bore.si() > 0.0, "bore", "bore = \"86 mm\"", engine, findings);
    need(engine.stroke.si() > 0.0, "stroke", "stroke = \"86 mm\"", engine, findings);
    need(engine.rod_length.si() > 0.0, "rod_length", "rod_length = \"145 mm\"", engine, findings);
    need(engine.compression_ratio.si() > 0.0, "compression_ratio", "compression_ratio = 10.5",
         engine, findings);
    need(engine.reciprocating_mass.si() > 0.0, "reciprocating_mass",
         "reciprocating_mass = \"0.5 kg\"", engine, findings);
    if (engine.torque == "pressure trace") {
        need(!engine.pressure_trace.empty(), "pressure_trace", "pressure_trace = \"trace.csv\"",
             engine, findings);
    } else {
        need(engine.combustion.duration.si() > 0.0, "combustion", "a table [combustion]", engine,
             findings);
    }
    if (engine.rod_length.si() > 0.0 && engine.rod_length.si() <= engine.stroke.si() / 2.0) {
        findings.push_back({{},
                            "rod_length",
                            write_quantity(engine.rod_length),
                            "more than half the stroke, which is " +
                                write_quantity(Length::from_si(engine.stroke.si() / 2.0)),
                            "A shorter rod cannot turn the crank."});
    }
}

void check_harmonics(const Engine& engine, std::vector<Finding>& findings) {
    need(!engine.harmonics.empty(), "harmonics", "tables [[harmonics]] with order and amplitude",
         engine, findings);
    for (std::size_t i = 0; i < engine.harmonics.size(); ++i) {
        const double order = engine.harmonics[i].order.si();
        if (std::abs(2.0 * order - std::round(2.0 * order)) < 1e-9) continue;
        findings.push_back({{},
                            fmt::format("harmonics[{}].order", i),
                            fmt::format("{:.6g}", order),
                            "a multiple of one half: 0.5, 1, 1.5 …",
                            "A four-stroke engine repeats itself after two turns."});
    }
}

void check_curve(std::string_view key, const std::vector<TorquePoint>& curve,
                 std::vector<Finding>& findings) {
    for (std::size_t i = 1; i < curve.size(); ++i) {
        if (curve[i].speed > curve[i - 1].speed) continue;
        findings.push_back(
            {{},
             fmt::format("{}[{}].speed", key, i),
             write_quantity(curve[i].speed),
             "more than the speed before, which is " + write_quantity(curve[i - 1].speed),
             "Give the points of the curve by rising speed."});
    }
}

/// Peak torque and full-load curve say the same thing twice; they must agree.
void check_peak(const Engine& engine, std::vector<Finding>& findings) {
    if (engine.full_load.empty()) return;
    constexpr double slack = 1e-6;
    double highest = 0.0;
    for (const TorquePoint& point : engine.full_load) {
        highest = std::max(highest, point.torque.si());
    }
    if (std::abs(highest - engine.peak_torque.si()) <= slack * engine.peak_torque.si()) return;
    findings.push_back({{},
                        "full_load",
                        "a highest torque of " + write_quantity(Torque::from_si(highest)),
                        "peak_torque, which is " + write_quantity(engine.peak_torque),
                        "Correct the one that is wrong."});
}

}  // namespace

std::vector<Finding> check(const Engine& engine) {
    std::vector<Finding> findings;
    check_firing_order(engine, findings);
    check_per_cylinder(engine, findings);
    if (engine.torque != "harmonics") check_cylinder(engine, findings);
    if (engine.torque == "pressure trace" && !engine.cylinder_gains.empty()) {
        findings.push_back({{},
                            "cylinder_gains",
                            "gains beside a pressure trace",
                            "none: a trace does not tell what of it is burnt",
                            "Leave them out, or take torque = \"cylinder pressure\"."});
    }
    if (engine.torque == "harmonics") check_harmonics(engine, findings);
    check_curve("full_load", engine.full_load, findings);
    check_curve("overrun", engine.overrun, findings);
    check_peak(engine, findings);
    if (engine.flywheel_inertia.si() > 0.0 && engine.flywheel_inertia >= engine.inertia) {
        findings.push_back({{},
                            "flywheel_inertia",
                            write_quantity(engine.flywheel_inertia),
                            "less than inertia, which is " + write_quantity(engine.inertia),
                            "inertia is crankshaft, solid flywheel and cover together; "
                            "flywheel_inertia is what of it is flywheel and cover."});
    }
    if (engine.top_speed.si() > 0.0 && engine.top_speed <= engine.idle_speed) {
        findings.push_back({{},
                            "top_speed",
                            write_quantity(engine.top_speed),
                            "more than idle_speed, which is " + write_quantity(engine.idle_speed),
                            "Give the highest speed that the engine is driven at."});
    }
    if (engine.combustion.duration.si() > 0.0 &&
        engine.combustion.full_pressure < engine.combustion.intake_pressure) {
        findings.push_back({{},
                            "combustion.full_pressure",
                            write_quantity(engine.combustion.full_pressure),
                            "at least intake_pressure, which is " +
                                write_quantity(engine.combustion.intake_pressure),
                            "More load needs more air."});
    }
    return findings;
}

}  // namespace damper
