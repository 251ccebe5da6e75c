// SPDX-License-Identifier: MIT
#include "libdamper/results/cover_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/cover_layout.hpp"
#include "libdamper/results/heat_layout.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"
#include "libdamper/results/write_verdict.hpp"

#include <fmt/format.h>
#include <string>

namespace damper {

namespace {

using Rows = std::vector<std::vector<double>>;

void write_comparison(GroupOut group, const CoverComparison& one) {
    write_attribute(group.id(), "what", one.what);
    write_attribute(group.id(), "against", one.against);
    write_attribute(group.id(), "file", one.file);
    write_attribute(group.id(), "sha256", one.sha256);
    write_attribute(group.id(), "units", one.units);
    write_attribute(group.id(), "mean_deviation", one.mean);
    write_attribute(group.id(), "largest_deviation", one.largest);
    group.write_index(one.x.size());
    group.write_column("x", one.x, {"m", one.against});
    group.write_column("measured", one.measured, {one.units, one.what});
    group.write_column("computed", one.computed, {one.units, one.what});
    group.write_column("deviation", one.deviation,
                       {"1", one.what == "clamp load" ? "of the computed value"
                                                      : "of the largest computed value"});
}

void fill(GroupOut& root, const CoverRecord& record) {
    write_identity(root, record.identity, {layout::cover_format_name, layout::cover_format_version},
                   "");
    write_attribute(root.id(), "cover", record.cover);
    write_attribute(root.id(), "facing", record.facing);
    write_attribute(root.id(), "release", record.release);
    write_attribute(root.id(), "discs", std::int64_t{record.discs});
    const auto number = [&](const char* name, double value, const char* units, const char* what) {
        root.write_scalar(name, value, {units, what});
    };
    number("torque", record.torque, "N.m", "engine torque to be held");
    number("warm", record.warm, "K", "temperature of the faces called warm");
    number("hot", record.hot, "K", "temperature of the faces called hot");
    number("friction_warm", record.friction_warm, "1", "coefficient of friction, warm");
    number("friction_hot", record.friction_hot, "1", "coefficient of friction, hot");
    number("lever", record.lever, "1", "bearing travel over plate lift of rigid parts");
    number("travel", record.travel, "m", "of the release bearing at full pedal");
    number("needed_lift", record.needed_lift, "m", "of the plate for the discs to turn freely");
    number("wear_allowance", record.wear_allowance, "m", "of one face");
    number("slip_wear", record.slip_wear, "m",
           "of one face, at which the warm clutch no longer holds the torque");
    number("set_shift", record.set_shift, "m", "deflection of the spring gained by grinding");
    number("flat_deflection", record.flat_deflection, "m", "at which the spring is flat");
    number("pedal_force", record.pedal_force, "N", "largest; 0: pedal ratio not stated");
    write_table(root, "states", record.states, layout::cover_states);
    write_table(root, "spring", record.spring, layout::cover_spring);
    write_table(root, "wear", record.wear, layout::cover_wear);
    for (const CoverReleaseCurve& curve : record.release_curves) {
        write_table(root, "release_" + curve.state, curve.points, layout::cover_release);
    }
    write_table(root, "temperatures", record.temperatures, layout::cover_temperatures);
    write_table(root, "cases", record.cases, layout::cover_cases);
    for (std::size_t i = 0; i < record.comparisons.size(); ++i) {
        write_comparison(root.make_group(fmt::format("measured_{}", i + 1)), record.comparisons[i]);
    }
    write_measures(root, record.figures, record.verdict);
    write_verdict(root, record.verdict);
}

void fill(GroupOut& root, const HeatRecord& record) {
    write_identity(root, record.identity, {layout::heat_format_name, layout::heat_format_version},
                   "");
    write_attribute(root.id(), "gear", record.gear);
    write_attribute(root.id(), "ended", record.ended);
    write_attribute(root.id(), "starts_to_limit", std::int64_t{record.starts_to_limit});
    write_attribute(root.id(), "starts_to_fade", std::int64_t{record.starts_to_fade});
    const auto number = [&](const char* name, double value, const char* units, const char* what) {
        root.write_scalar(name, value, {units, what});
    };
    number("engine_speed", record.engine_speed, "rad/s", "at the beginning of each start");
    number("engine_inertia", record.engine_inertia, "kg.m2", "with facings");
    number("vehicle_inertia", record.vehicle_inertia, "kg.m2", "at the gearbox input");
    number("interval", record.interval, "s", "from start to start");
    number("surroundings", record.surroundings, "K", "air in the housing");
    number("limit", record.limit, "K", "bulk temperature that starts are counted to");
    number("cool", record.cool, "K", "temperature to cool to");
    number("facing_area", record.facing_area, "m2", "of all faces");
    number("settled", record.settled, "K", "hottest plate after endless starts");
    number("time_to_cool", record.time_to_cool, "s", "after the last start");
    number("energy_in", record.energy_in, "J", "heat of all starts");
    number("energy_stored", record.energy_stored, "J", "in the plates after the last one");
    number("energy_lost", record.energy_lost, "J", "to the air until then");
    write_table(root, "starts", record.starts, layout::heat_starts);
    GroupOut steps = write_table(root, "steps", record.steps, layout::heat_steps);
    const H5Dataset step_axis =
        steps.make_count_axis("step", record.steps.size(), {"", "number of the start"});
    const H5Dataset step_plates =
        steps.make_axis("plate", record.plates, {"", "name of the plate"});
    Rows before;
    Rows after;
    for (const HeatStep& step : record.steps) {
        before.push_back(step.before);
        after.push_back(step.after);
    }
    steps.write_matrix(step_axis, step_plates, record.plates.size(), "before", before,
                       {"K", "bulk temperature before the start"});
    steps.write_matrix(step_axis, step_plates, record.plates.size(), "after", after,
                       {"K", "bulk temperature when the clutch sticks"});
    GroupOut history = root.make_group("history");
    const H5Dataset time = history.make_axis("time", record.history.time, {"s", "time"});
    const H5Dataset plates = history.make_axis("plate", record.plates, {"", "name of the plate"});
    history.write_along(plates, "heat_share", record.slip_share, {"1", "of the heat of a start"});
    history.write_matrix(time, plates, record.plates.size(), "temperature",
                         record.history.temperature, {"K", "bulk temperature"});
    write_measures(root, record.figures, record.verdict);
    write_verdict(root, record.verdict);
}

}  // namespace

std::vector<std::byte> cover_bytes(const CoverRecord& record) {
    return sealed_image("the clutch cover", [&](GroupOut& root) { fill(root, record); });
}

void write_cover(const std::filesystem::path& path, const CoverRecord& record) {
    write_file_atomically(path, cover_bytes(record));
}

std::vector<std::byte> heat_bytes(const HeatRecord& record) {
    return sealed_image("the heat", [&](GroupOut& root) { fill(root, record); });
}

void write_heat(const std::filesystem::path& path, const HeatRecord& record) {
    write_file_atomically(path, heat_bytes(record));
}

}  // namespace damper
