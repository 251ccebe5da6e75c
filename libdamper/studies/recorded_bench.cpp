// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorded_bench.hpp"

#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/fit_study.hpp"
#include "libdamper/studies/run_one.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <initializer_list>
#include <optional>
#include <utility>

namespace damper {

namespace {

std::vector<std::string> files_of(const Complaint& complaint,
                                  std::initializer_list<const char*> kinds) {
    std::vector<std::string> out;
    for (const auto& [kind, file] : complaint.recordings) {
        if (std::ranges::find(kinds, kind) != kinds.end()) out.push_back(file);
    }
    return out;
}

std::string name_of(const std::string& file) {
    return std::filesystem::path(file).filename().string();
}

/// Adds the figures of the disc that the loops speak for.
void take_loops(const std::vector<std::string>& files, const Vehicle& vehicle, double reference,
                RecordedFigures& out) {
    std::vector<BenchTable> tables;
    double drive = 0.0, coast = 0.0;
    std::string names;
    for (const std::string& file : files) {
        tables.push_back(read_bench_table(file, {}));
        tables.back().run.name = name_of(file);  // for notes
        if (!names.empty()) names += ", ";
        names += name_of(file);
    }
    const FitOutcome fit = fit_bench(tables, vehicle.disc, {});
    for (const FitRun& run : fit.record.runs) {
        const auto [least, largest] = std::ranges::minmax(run.torque);
        drive = std::max(drive, largest);
        coast = std::max(coast, -least);
    }
    for (const std::string& note : fit.record.notes) {
        const bool named = note.find(tables.front().run.name) != std::string::npos;
        out.notes.push_back(named ? note : fmt::format("{}: {}", names, note));
    }
    const auto figures = disc_bench_figures(quasi_static_loop(fit.disc), reference);
    for (const BenchReach& reach : disc_bench_reaches()) {
        const auto figure = std::ranges::find(figures, reach.figure, &MeasureValue::name);
        const bool reached = drive >= reach.drive * reference && coast >= reach.coast * reference;
        if (figure == figures.end() || !reached || !std::isfinite(figure->value)) continue;
        out.seen.push_back({figure->name, figure->value, names});
    }
}

/// y over x at a place, straight between the rows; nothing beyond them. Rows rise in x.
std::optional<double> read_off(const std::vector<double>& x, const std::vector<double>& y,
                               double place) {
    for (std::size_t i = 1; i < x.size(); ++i) {
        if (!(x[i - 1] <= place && place <= x[i])) continue;
        const double width = x[i] - x[i - 1];
        return width > 0.0 ? std::lerp(y[i - 1], y[i], (place - x[i - 1]) / width) : y[i];
    }
    return std::nullopt;
}

void take_clamp(const std::string& file, RecordedFigures& out) {
    const MeasuredTable table = read_clamp_table(file);
    const auto load = read_off(table.column("wear").values, table.column("load").values, 0.0);
    if (load) {
        out.seen.push_back({"clamp_load_new", *load, name_of(file)});
    } else {
        out.notes.push_back(fmt::format(
            "{}: not used: it has no clamp load at no wear, on which the comparison rests",
            name_of(file)));
    }
}

/// Travel at which the lift is what the discs need, as measured.
void take_release(const std::string& file, const Vehicle& vehicle, RecordedFigures& out) {
    const MeasuredTable table = read_release_table(file);
    if (!vehicle.cover || !vehicle.facing || !table.has("lift")) {
        out.notes.push_back(fmt::format(
            "{}: not used: {}", name_of(file),
            vehicle.cover ? "it has no column of the plate's lift" : "the vehicle has no cover"));
        return;
    }
    Scenario alone;
    alone.vehicle = vehicle;
    const CoverRecord record = study_cover(alone, {});
    const double needed = record.states.front().needed_travel;
    std::vector<double> travels, lifts;
    for (const CoverReleaseCurve& curve : record.release_curves) {
        if (curve.state != record.states.front().name) continue;
        for (const CoverReleasePoint& point : curve.points) {
            travels.push_back(point.travel);
            lifts.push_back(point.lift);
        }
    }
    const auto lift = read_off(travels, lifts, needed);
    const auto travel =
        lift ? read_off(table.column("lift").values, table.column("travel").values, *lift)
             : std::nullopt;
    if (travel) {
        out.seen.push_back({"needed_travel", *travel, name_of(file)});
    } else {
        out.notes.push_back(fmt::format(
            "{}: the lift at which the disc turns freely was not reached; nothing is read from it",
            name_of(file)));
    }
}

}  // namespace

RecordedFigures figures_of_bench(const Complaint& complaint, const Vehicle& vehicle,
                                 double reference) {
    RecordedFigures out;
    const auto loops = files_of(complaint, {"loop", "loop_idle"});
    if (!loops.empty()) take_loops(loops, vehicle, reference, out);
    for (const std::string& file : files_of(complaint, {"clamp_load"})) take_clamp(file, out);
    for (const std::string& file : files_of(complaint, {"release_travel"})) {
        take_release(file, vehicle, out);
    }
    return out;
}

}  // namespace damper
