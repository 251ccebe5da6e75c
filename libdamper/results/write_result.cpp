// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/check_record.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"
#include "libdamper/results/write_verdict.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

void write_model(GroupOut& root, const ModelTable& model) {
    const FlatModel flat = flatten(model);
    GroupOut group = root.make_group("model");
    write_table(group, "inertias", flat.inertias, layout::inertias);
    write_table(group, "elements", flat.elements, layout::elements);
    write_table(group, "rows", flat.rows, layout::rows);
    write_table(group, "parts", flat.parts, layout::parts);
    write_table(group, "modes", flat.modes, layout::modes);
    write_table(group, "guards", flat.guards, layout::guards);
    write_table(group, "smooth", flat.smooth, layout::smooth);
    write_table(group, "inputs", flat.inputs, layout::model_inputs);
    write_table(group, "input_parameters", flat.input_parameters, layout::input_parameters);
    write_table(group, "input_tables", flat.input_tables, layout::input_tables);
    GroupOut values = group.make_group("input_values");
    values.write_index(flat.input_values.size());
    values.write_column("value", flat.input_values, {"", "values of input_tables, in SI units"});
    write_table(group, "gear_path", flat.gear_path, layout::gear_path);
}

void write_signals(GroupOut& root, const RunRecord& record) {
    GroupOut group = root.make_group("signals");
    write_attribute(group.id(), "measured_from", record.measured_from);
    group.write_axis("time", record.signals.time, {"s", "time"});
    for (const Signal& signal : record.signals.signals) {
        group.write_column(signal.name, signal.values, {signal.units, signal.long_name});
    }
}

void write_events(GroupOut& root, const EventTable& events) {
    GroupOut group = root.make_group("events");
    write_texts(group, "elements", "name", events.elements, "element that events name");
    write_texts(group, "modes", "name", events.modes, "mode that events name");
    write_table(group, "impacts", events.impacts, layout::impacts);
    write_table(group, "changes", events.changes, layout::mode_changes);
}

void write_course(GroupOut& root, const SpeedCourse& course) {
    GroupOut group = root.make_group("course");
    write_attribute(group.id(), "order", course.order);
    group.write_axis("speed", course.speed, {"rad/s", "engine speed, mean of two engine cycles"});
    for (const auto& column : layout::course_columns) {
        group.write_column(column.name, course.*column.member, {column.units, column.meaning});
    }
}

void write_loop(GroupOut& root, const char* name, const char* what, const DiscLoop& loop) {
    GroupOut group = root.make_group(name);
    group.write_axis("twist", loop.twist, {"rad", what});
    group.write_column("upward", loop.upward, {"N.m", "torque while the twist grows"});
    group.write_column("downward", loop.downward, {"N.m", "torque while the twist falls"});
    write_table(group, "corners", loop.corners, layout::corners);
}

void write_curves(GroupOut& root, const RunRecord& record) {
    GroupOut spectra = root.make_group("spectra");
    for (const OrderSpectrum& spectrum : record.spectra) {
        GroupOut group = spectra.make_group(spectrum.signal);
        group.write_axis("order", spectrum.order, {"1", "multiple of the crank speed"});
        group.write_column("amplitude", spectrum.amplitude,
                           {spectrum.units, "amplitude, 0 to peak, of " + spectrum.signal});
    }
    write_course(root, record.course);
    write_loop(root, "disc_loop", "twist of the disc", record.disc_loop);
    if (!record.flywheel_loop.twist.empty()) {
        write_loop(root, "flywheel_loop", "twist of the two-mass flywheel", record.flywheel_loop);
    }
    write_table(root, "stage_use", record.stage_use, layout::stage_use);
    write_table(root, "gear_impacts", record.gear_impacts, layout::gear_impacts);
}

void write_energy(GroupOut& root, const EnergyBook& book) {
    GroupOut group = write_table(root, "energy", book.entries, layout::energy);
    (void)group.write_scalar("unbalanced", book.unbalanced(),
                             {"J", "supplied - dissipated - change of stored, all elements"});
    (void)group.write_scalar("residual", book.residual(),
                             {"1", "unbalanced part relative to the energy turned over"});
}

void write_start(const GroupOut& group, const StartReport& start) {
    write_attribute(group.id(), "start", start.asked);
    write_attribute(group.id(), "start_periodic", std::int64_t{start.periodic ? 1 : 0});
    write_attribute(group.id(), "start_period_cycles", start.cycles);
    write_attribute(group.id(), "start_period", start.period);
    write_attribute(group.id(), "start_multiplier", start.multiplier);
    write_attribute(group.id(), "start_next_multiplier", start.next_multiplier);
    write_attribute(group.id(), "start_mean_speed", std::int64_t{start.mean_speed ? 1 : 0});
    write_attribute(group.id(), "start_edge", start.edge);
    write_attribute(group.id(), "start_why_not", start.why_not);
    write_attribute(group.id(), "start_cycles_run", start.cycles_run);
}

void write_stop(const GroupOut& group, const StopReport& stop) {
    write_attribute(group.id(), "stop_reason", stop.reason);
    write_attribute(group.id(), "stop_share", stop.share);
    write_attribute(group.id(), "stop_share_reached", stop.share_reached);
    write_attribute(group.id(), "stop_longest", stop.longest);
    write_attribute(group.id(), "stop_cycles", stop.cycles);
}

void write_solver(GroupOut& root, const SolverReport& report) {
    GroupOut group = root.make_group("solver");
    write_attribute(group.id(), "method", report.method);
    write_attribute(group.id(), "tolerance", report.tolerance);
    write_attribute(group.id(), "end_time", report.end_time);
    write_attribute(group.id(), "steps", report.steps);
    write_attribute(group.id(), "rejected", report.rejected);
    write_attribute(group.id(), "evaluations", report.evaluations);
    write_attribute(group.id(), "mode_changes", report.mode_changes);
    write_attribute(group.id(), "smallest_step", report.smallest_step);
    write_attribute(group.id(), "complete", std::int64_t{report.complete ? 1 : 0});
    write_start(group, report.start);
    write_stop(group, report.stop);
    write_texts(group, "warnings", "warning", report.warnings, "remark of the solver");
}

void fill(GroupOut& root, const RunRecord& record) {
    write_identity(root, record.identity, {layout::format_name, layout::format_version},
                   record.solver.method);
    write_model(root, record.model);
    write_signals(root, record);
    write_events(root, record.events);
    write_curves(root, record);
    write_measures(root, record.measures, record.verdict);
    write_verdict(root, record.verdict);
    write_table(root, "bands", record.verdict.bands, layout::bands);
    write_energy(root, record.energy);
    write_solver(root, record.solver);
}

}  // namespace

std::vector<std::byte> result_bytes(const RunRecord& record) {
    check_record(record);
    return sealed_image("the result", [&](GroupOut& root) { fill(root, record); });
}

void write_result(const std::filesystem::path& path, const RunRecord& record) {
    write_file_atomically(path, result_bytes(record));
}

}  // namespace damper
