// SPDX-License-Identifier: MIT
#include "libdamper/results/fit_layout.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

DiscLoop read_loop(const GroupIn& root, const char* name) {
    const GroupIn group = root.open_group(name);
    DiscLoop loop = read_loop_curves(group, "torque_rising", "torque_falling");
    loop.corners = read_table<DiscLoop::Corner>(group, "corners", layout::corners);
    return loop;
}

}  // namespace

FitRecord read_fit(const GroupIn& root) {
    require_kind(root, {layout::fit_format_name, layout::fit_format_version});
    FitRecord record;
    record.identity = read_identity(root);
    record.name = read_text(root.id(), "name");
    record.stages = read_count(root, "stages");
    record.nominal = read_text(root.id(), "nominal");
    record.within = read_integer(root.id(), "within") != 0;
    record.zero_twist = root.read_scalar("zero_twist");
    record.figures = read_table<FitFigure>(root, "figures", layout::fit_figures);
    record.runs = read_table<FitRun>(root, "runs", layout::fit_runs);
    record.tried = read_table<FitTried>(root, "tried", layout::fit_tried);
    record.notes = read_texts(root, "notes", "note");
    record.findings = read_texts(root, "findings", "finding");
    const GroupIn points = root.open_group("points");
    for (std::size_t r = 0; r < record.runs.size(); ++r) {
        const GroupIn group = points.open_group(fmt::format("{}", r + 1));
        FitRun& run = record.runs[r];
        group.read_column("twist", run.twist);
        run.torque = read_rows_of<double>(group, "torque", run.twist.size());
        run.law = read_rows_of<double>(group, "law", run.twist.size());
        run.rising = read_rows_of<std::int8_t>(group, "rising", run.twist.size());
    }
    record.loop = read_loop(root, "loop");
    if (!record.nominal.empty()) record.nominal_loop = read_loop(root, "nominal_loop");
    return record;
}

}  // namespace damper
