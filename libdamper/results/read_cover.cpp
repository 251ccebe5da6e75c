// SPDX-License-Identifier: MIT
#include "libdamper/results/cover_layout.hpp"
#include "libdamper/results/heat_layout.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <string>
#include <string_view>

namespace damper {

namespace {

CoverComparison read_comparison(const GroupIn& group) {
    CoverComparison one;
    one.what = read_text(group.id(), "what");
    one.against = read_text(group.id(), "against");
    one.file = read_text(group.id(), "file");
    one.sha256 = read_text(group.id(), "sha256");
    one.units = read_text(group.id(), "units");
    one.mean = read_number(group.id(), "mean_deviation");
    one.largest = read_number(group.id(), "largest_deviation");
    group.read_column("x", one.x);
    one.measured = read_rows_of<double>(group, "measured", one.x.size());
    one.computed = read_rows_of<double>(group, "computed", one.x.size());
    one.deviation = read_rows_of<double>(group, "deviation", one.x.size());
    return one;
}

/// Groups whose number is not fixed: a release curve a state, a comparison a measured curve.
void read_groups(const GroupIn& root, CoverRecord& record) {
    constexpr std::string_view release = "release_";
    for (const std::string& name : root.names()) {
        if (name.starts_with(release)) {
            record.release_curves.push_back(
                {name.substr(release.size()),
                 read_table<CoverReleasePoint>(root, name, layout::cover_release)});
            expect(record.release_curves.back().points.size() ==
                       record.release_curves.front().points.size(),
                   name + ": has another length than the curve before");
        } else if (name.starts_with("measured_")) {
            record.comparisons.push_back(read_comparison(root.open_group(name)));
        }
    }
}

}  // namespace

CoverRecord read_cover(const GroupIn& root) {
    require_kind(root, {layout::cover_format_name, layout::cover_format_version});
    CoverRecord record;
    record.identity = read_identity(root);
    record.cover = read_text(root.id(), "cover");
    record.facing = read_text(root.id(), "facing");
    record.release = read_text(root.id(), "release");
    record.discs = read_count(root, "discs");
    record.torque = root.read_scalar("torque");
    record.warm = root.read_scalar("warm");
    record.hot = root.read_scalar("hot");
    record.friction_warm = root.read_scalar("friction_warm");
    record.friction_hot = root.read_scalar("friction_hot");
    record.lever = root.read_scalar("lever");
    record.travel = root.read_scalar("travel");
    record.needed_lift = root.read_scalar("needed_lift");
    record.wear_allowance = root.read_scalar("wear_allowance");
    record.slip_wear = root.read_scalar("slip_wear");
    record.set_shift = root.read_scalar("set_shift");
    record.flat_deflection = root.read_scalar("flat_deflection");
    record.pedal_force = root.read_scalar("pedal_force");
    record.states = read_table<CoverState>(root, "states", layout::cover_states);
    record.spring = read_table<CoverSpringPoint>(root, "spring", layout::cover_spring);
    record.wear = read_table<CoverWearPoint>(root, "wear", layout::cover_wear);
    record.temperatures =
        read_table<CoverTemperaturePoint>(root, "temperatures", layout::cover_temperatures);
    record.cases = read_table<CoverCase>(root, "cases", layout::cover_cases);
    read_groups(root, record);
    record.figures = read_measures(root);
    record.verdict = read_verdict(root);
    expect(!record.states.empty() && !record.spring.empty() && !record.wear.empty(),
           "a table of the clutch is empty: states, spring or wear");
    return record;
}

HeatRecord read_heat(const GroupIn& root) {
    require_kind(root, {layout::heat_format_name, layout::heat_format_version});
    HeatRecord record;
    record.identity = read_identity(root);
    record.gear = read_text(root.id(), "gear");
    record.ended = read_text(root.id(), "ended");
    record.starts_to_limit = read_count(root, "starts_to_limit");
    record.starts_to_fade = read_count(root, "starts_to_fade");
    record.engine_speed = root.read_scalar("engine_speed");
    record.engine_inertia = root.read_scalar("engine_inertia");
    record.vehicle_inertia = root.read_scalar("vehicle_inertia");
    record.interval = root.read_scalar("interval");
    record.surroundings = root.read_scalar("surroundings");
    record.limit = root.read_scalar("limit");
    record.cool = root.read_scalar("cool");
    record.facing_area = root.read_scalar("facing_area");
    record.settled = root.read_scalar("settled");
    record.time_to_cool = root.read_scalar("time_to_cool");
    record.energy_in = root.read_scalar("energy_in");
    record.energy_stored = root.read_scalar("energy_stored");
    record.energy_lost = root.read_scalar("energy_lost");
    record.starts = read_table<HeatStart>(root, "starts", layout::heat_starts);
    record.steps = read_table<HeatStep>(root, "steps", layout::heat_steps);

    const GroupIn history = root.open_group("history");
    history.read_column("time", record.history.time);
    history.read_column("plate", record.plates);
    const std::size_t plates = record.plates.size();
    expect(!record.history.time.empty() && plates > 0, "history: is empty");
    record.slip_share = read_rows_of<double>(history, "heat_share", plates);
    record.history.temperature =
        history.read_matrix("temperature", record.history.time.size(), plates);
    const GroupIn steps = root.open_group("steps");
    auto before = steps.read_matrix("before", record.steps.size(), plates);
    auto after = steps.read_matrix("after", record.steps.size(), plates);
    for (std::size_t s = 0; s < record.steps.size(); ++s) {
        record.steps[s].before = std::move(before[s]);
        record.steps[s].after = std::move(after[s]);
    }
    record.figures = read_measures(root);
    record.verdict = read_verdict(root);
    return record;
}

}  // namespace damper
