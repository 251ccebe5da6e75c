// SPDX-License-Identifier: MIT
#include "libdamper/results/check_record.hpp"
#include "libdamper/results/layout.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <algorithm>

namespace damper {

namespace {

ModelTable read_model(const GroupIn& root) {
    const GroupIn group = root.open_group("model");
    FlatModel flat;
    const auto read = [&]<class Row>(std::vector<Row>& rows, const char* name,
                                     const auto& columns) {
        rows = read_table<Row>(group, name, columns);
    };
    read(flat.inertias, "inertias", layout::inertias);
    read(flat.elements, "elements", layout::elements);
    read(flat.rows, "rows", layout::rows);
    read(flat.parts, "parts", layout::parts);
    read(flat.modes, "modes", layout::modes);
    read(flat.guards, "guards", layout::guards);
    read(flat.smooth, "smooth", layout::smooth);
    read(flat.inputs, "inputs", layout::model_inputs);
    read(flat.input_parameters, "input_parameters", layout::input_parameters);
    read(flat.input_tables, "input_tables", layout::input_tables);
    group.open_group("input_values").read_column("value", flat.input_values);
    read(flat.gear_path, "gear_path", layout::gear_path);
    return unflatten(flat);
}

void read_signals(const GroupIn& root, RunRecord& record) {
    const GroupIn group = root.open_group("signals");
    record.measured_from = read_number(group.id(), "measured_from");
    for (const std::string& name : group.names()) {
        if (name == "time") {
            group.read_column(name, record.signals.time);
            continue;
        }
        const H5Dataset dataset = group.open_dataset(name);
        Signal& signal = record.signals.signals.emplace_back();
        signal.name = name;
        signal.units = read_text_if_there(dataset.id(), "units");
        signal.long_name = read_text_if_there(dataset.id(), "long_name");
        group.read_column(name, signal.values);
    }
}

EventTable read_events(const GroupIn& root) {
    const GroupIn group = root.open_group("events");
    EventTable events;
    events.elements = read_texts(group, "elements", "name");
    events.modes = read_texts(group, "modes", "name");
    events.impacts = read_table<Impact>(group, "impacts", layout::impacts);
    events.changes = read_table<ModeChange>(group, "changes", layout::mode_changes);
    return events;
}

void read_loop(const GroupIn& root, const char* name, DiscLoop& loop) {
    const GroupIn group = root.open_group(name);
    group.read_column("twist", loop.twist);
    group.read_column("upward", loop.upward);
    group.read_column("downward", loop.downward);
    loop.corners = read_table<DiscLoop::Corner>(group, "corners", layout::corners);
}

void read_curves(const GroupIn& root, RunRecord& record) {
    const GroupIn spectra = root.open_group("spectra");
    for (const std::string& name : spectra.names()) {
        const GroupIn group = spectra.open_group(name);
        OrderSpectrum& spectrum = record.spectra.emplace_back();
        spectrum.signal = name;
        spectrum.units = read_text_if_there(group.open_dataset("amplitude").id(), "units");
        group.read_column("order", spectrum.order);
        group.read_column("amplitude", spectrum.amplitude);
    }
    // Files of earlier versions have none.
    const std::vector<std::string> groups = root.names();
    if (std::ranges::find(groups, "course") != groups.end()) {
        const GroupIn course = root.open_group("course");
        record.course.order = read_number(course.id(), "order");
        course.read_column("speed", record.course.speed);
        for (const auto& column : layout::course_columns) {
            course.read_column(column.name, record.course.*column.member);
        }
    }
    read_loop(root, "disc_loop", record.disc_loop);
    if (std::ranges::find(groups, "flywheel_loop") != groups.end()) {
        read_loop(root, "flywheel_loop", record.flywheel_loop);
    }
    record.stage_use = read_table<StageUse>(root, "stage_use", layout::stage_use);
    record.gear_impacts = read_table<GearImpacts>(root, "gear_impacts", layout::gear_impacts);
}

StartReport read_start(const GroupIn& group) {
    StartReport start;
    start.asked = read_text(group.id(), "start");
    start.periodic = read_integer(group.id(), "start_periodic") != 0;
    start.cycles = read_number(group.id(), "start_period_cycles");
    start.period = read_number(group.id(), "start_period");
    start.multiplier = read_number(group.id(), "start_multiplier");
    start.next_multiplier = read_number(group.id(), "start_next_multiplier");
    start.mean_speed = read_integer(group.id(), "start_mean_speed") != 0;
    start.edge = read_text(group.id(), "start_edge");
    start.why_not = read_text(group.id(), "start_why_not");
    start.cycles_run = read_integer(group.id(), "start_cycles_run");
    return start;
}

StopReport read_stop(const GroupIn& group) {
    StopReport stop;
    stop.reason = read_text(group.id(), "stop_reason");
    stop.share = read_number(group.id(), "stop_share");
    stop.share_reached = read_number(group.id(), "stop_share_reached");
    stop.longest = read_number(group.id(), "stop_longest");
    stop.cycles = read_integer(group.id(), "stop_cycles");
    return stop;
}

SolverReport read_solver(const GroupIn& root) {
    const GroupIn group = root.open_group("solver");
    SolverReport report;
    report.method = read_text(group.id(), "method");
    report.tolerance = read_number(group.id(), "tolerance");
    report.end_time = read_number(group.id(), "end_time");
    report.steps = read_integer(group.id(), "steps");
    report.rejected = read_integer(group.id(), "rejected");
    report.evaluations = read_integer(group.id(), "evaluations");
    report.mode_changes = read_integer(group.id(), "mode_changes");
    report.smallest_step = read_number(group.id(), "smallest_step");
    report.complete = read_integer(group.id(), "complete") != 0;
    report.start = read_start(group);
    report.stop = read_stop(group);
    report.warnings = read_texts(group, "warnings", "warning");
    return report;
}

}  // namespace

RunRecord read_run(const GroupIn& root) {
    require_kind(root, {layout::format_name, layout::format_version});
    RunRecord record;
    record.identity = read_identity(root);
    record.model = read_model(root);
    read_signals(root, record);
    record.events = read_events(root);
    read_curves(root, record);
    record.measures = read_measures(root);
    record.verdict = read_verdict(root);
    record.verdict.bands = read_table<BandResult>(root, "bands", layout::bands);
    record.energy.entries = read_table<EnergyBook::Entry>(root, "energy", layout::energy);
    record.solver = read_solver(root);
    check_record(record);
    return record;
}

RunRecord parse_result(std::span<const std::byte> bytes, const std::string& name) {
    return read_sealed(bytes, name, read_run);
}

RunRecord read_result(const std::filesystem::path& path) {
    return parse_result(result_file(path), path.string());
}

}  // namespace damper
