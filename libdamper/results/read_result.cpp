// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/check_record.hpp"
#include "libdamper/results/fit_layout.hpp"
#include "libdamper/results/modes_layout.hpp"
#include "libdamper/results/orbit_layout.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/results/seal.hpp"
#include "libdamper/results/study_layout.hpp"
#include "libdamper/results/table_io.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t largest_file = std::size_t{1} << 30;  // 1 GiB, some 100 × a long run

void check_format(const GroupIn& root) {
    const std::string format = read_text(root.id(), "format");
    if (format == layout::modes_format_name) {
        throw H5Failure(
            "holds natural modes; their page is written by: damper modes FILE --out DIR");
    }
    if (format == layout::orbit_format_name) {
        throw H5Failure(
            "holds steady motions over engine speed; their page is written by: damper orbit "
            "SCENARIO --out DIR");
    }
    if (format == layout::fit_format_name) {
        throw H5Failure("holds a fitted disc; its page is written by: damper fit FILE --out DIR");
    }
    if (format == layout::study_format_name) {
        throw H5Failure(
            "holds a study; its page is written by: damper gather DIR --out FILE, or damper vary "
            "and damper scatter with --out DIR");
    }
    if (format != layout::format_name) throw H5Failure("is not a result");
    const std::int64_t version = read_integer(root.id(), "format_version");
    if (version != layout::format_version) {
        throw H5Failure(fmt::format("has format version {}; this program reads version {}", version,
                                    layout::format_version));
    }
}

RunIdentity read_identity(const GroupIn& root) {
    RunIdentity identity;
    const auto text = [&](const char* name) { return read_text(root.id(), name); };
    identity.program_version = text("program_version");
    identity.command_line = text("command_line");
    identity.scenario = text("scenario");
    identity.title = text("title");
    identity.origin = text("origin");
    identity.vehicle = text("vehicle");
    identity.vehicle_class = text("vehicle_class");
    identity.disc = text("disc");
    identity.manoeuvre = text("manoeuvre");
    const GroupIn provenance = root.open_group("provenance");
    identity.created = read_text(provenance.id(), "created");
    identity.host = read_text(provenance.id(), "host");
    identity.inputs = read_table<layout::TextPair>(root, "inputs", layout::inputs);
    identity.conditions = read_table<layout::TextPair>(root, "conditions", layout::conditions);
    identity.changes = read_table<layout::TextPair>(root, "changes", layout::changes);
    return identity;
}

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

/// An attribute that is left out when it is empty.
std::string read_text_if_there(const H5Dataset& dataset, const char* name) {
    return H5Aexists(dataset.id(), name) > 0 ? read_text(dataset.id(), name) : std::string();
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
        signal.units = read_text_if_there(dataset, "units");
        signal.long_name = read_text_if_there(dataset, "long_name");
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
        spectrum.units = read_text_if_there(group.open_dataset("amplitude"), "units");
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

std::vector<MeasureValue> read_measures(const GroupIn& root) {
    const GroupIn group = root.open_group("measures");
    std::vector<MeasureValue> measures;
    for (const std::string& name : group.names()) {
        const H5Dataset dataset = group.open_dataset(name);
        MeasureValue& measure = measures.emplace_back();
        measure.name = name;
        measure.value = group.read_scalar(name);
        measure.units = read_text(dataset.id(), "units");
        measure.definition = read_text(dataset.id(), "definition");
        if (H5Aexists(dataset.id(), "half_width") > 0) {
            measure.certainty =
                Certainty{.half_width = read_number(dataset.id(), "half_width"),
                          .confidence = read_number(dataset.id(), "confidence"),
                          .batches = read_integer(dataset.id(), "batches"),
                          .cycles_per_batch = read_integer(dataset.id(), "cycles_per_batch")};
        }
        measure.better = from_word<Better>(read_text(dataset.id(), "better"));
    }
    return measures;
}

Verdict read_verdict(const GroupIn& root) {
    const GroupIn group = root.open_group("verdict");
    Verdict verdict;
    verdict.grade = from_word<Grade>(read_text(group.id(), "grade"));
    verdict.headline = read_text(group.id(), "headline");
    verdict.reasons = read_texts(group, "reasons", "reason");
    verdict.judgements = read_table<Judgement>(group, "judgements", layout::judgements);
    verdict.cautions = read_texts(group, "cautions", "caution");
    verdict.bands = read_table<BandResult>(root, "bands", layout::bands);
    return verdict;
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

RunRecord read_all(std::span<const std::byte> image) {
    H5Source source(image);
    const GroupIn root = source.root();
    check_format(root);
    RunRecord record;
    record.identity = read_identity(root);
    record.model = read_model(root);
    read_signals(root, record);
    record.events = read_events(root);
    read_curves(root, record);
    record.measures = read_measures(root);
    record.verdict = read_verdict(root);
    record.energy.entries = read_table<EnergyBook::Entry>(root, "energy", layout::energy);
    record.solver = read_solver(root);
    check_record(record);
    return record;
}

bool is_hdf5(std::span<const std::byte> bytes) {
    constexpr std::array<unsigned char, 8> signature{0x89, 'H', 'D', 'F', '\r', '\n', 0x1a, '\n'};
    return bytes.size() >= signature.size() &&
           std::equal(signature.begin(), signature.end(), bytes.begin(),
                      [](unsigned char a, std::byte b) { return std::byte{a} == b; });
}

}  // namespace

RunRecord parse_result(std::span<const std::byte> bytes, const std::string& name) {
    if (!is_hdf5(bytes)) throw InputError(name + ": is not an HDF5 file, so it is no result");
    const std::span<const std::byte> image = under_seal(bytes);
    if (image.empty()) {
        throw InputError(name +
                         ": is not as a run wrote it: damaged, cut off, changed by another "
                         "program, or no result at all\n    To mend: run the scenario again");
    }
    const H5Quiet quiet;
    try {
        return read_all(image);
    } catch (const H5Failure& failure) {
        throw InputError(name + ": cannot be read as a result: " + failure.what());
    } catch (const ModelError& error) {
        throw InputError(name + ": cannot be read as a result: " + error.what());
    }
}

RunRecord read_result(const std::filesystem::path& path) {
    return parse_result(read_file(path, largest_file), path.string());
}

}  // namespace damper
