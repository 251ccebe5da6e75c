// SPDX-License-Identifier: MIT
#include "libdamper/results/fit_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/fit_layout.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

void write_points(GroupOut group, const FitRun& run) {
    write_attribute(group.id(), "run", run.name);
    group.write_index(run.twist.size());
    group.write_column("twist", run.twist, {"rad", "from the zero of the disc"});
    group.write_column("torque", run.torque, {"N.m", "measured, without zero and drift"});
    group.write_column("law", run.law, {"N.m", "what the fitted disc gives there"});
    group.write_column("rising", run.rising, {"", "1: the twist grows"});
}

void write_loop(GroupOut group, const DiscLoop& loop) {
    group.write_axis("twist", loop.twist, {"rad", "twist of the disc"});
    group.write_column("torque_rising", loop.upward, {"N.m", "while the twist grows"});
    group.write_column("torque_falling", loop.downward, {"N.m", "while it falls"});
    write_table(group, "corners", loop.corners, layout::corners);
}

void fill(GroupOut& root, const FitRecord& record) {
    write_identity(root, record.identity, {layout::fit_format_name, layout::fit_format_version},
                   "");
    write_attribute(root.id(), "name", record.name);
    write_attribute(root.id(), "stages", std::int64_t{record.stages});
    write_attribute(root.id(), "nominal", record.nominal);
    write_attribute(root.id(), "within", static_cast<std::int64_t>(record.within ? 1 : 0));
    root.write_scalar("zero_twist", record.zero_twist,
                      {"rad", "twist of the files at which the disc rests"});
    write_table(root, "figures", record.figures, layout::fit_figures);
    write_table(root, "runs", record.runs, layout::fit_runs);
    write_table(root, "tried", record.tried, layout::fit_tried);
    write_texts(root, "notes", "note", record.notes, "what the loops leave open");
    write_texts(root, "findings", "finding", record.findings, "how it stands to nominal");
    GroupOut points = root.make_group("points");
    for (std::size_t r = 0; r < record.runs.size(); ++r) {
        write_points(points.make_group(fmt::format("{}", r + 1)), record.runs[r]);
    }
    write_loop(root.make_group("loop"), record.loop);
    if (!record.nominal.empty()) write_loop(root.make_group("nominal_loop"), record.nominal_loop);
}

}  // namespace

std::vector<std::byte> fit_bytes(const FitRecord& record) {
    return sealed_image("the fit", [&](GroupOut& root) { fill(root, record); });
}

void write_fit(const std::filesystem::path& path, const FitRecord& record) {
    write_file_atomically(path, fit_bytes(record));
}

}  // namespace damper
