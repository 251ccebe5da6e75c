// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/response_file.hpp"
#include "libdamper/results/response_layout.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <fmt/format.h>
#include <set>
#include <span>
#include <string_view>
#include <tuple>

namespace damper {

namespace {

using Record = ResponseRecord;

void require(bool holds, const std::string& sentence) {
    if (!holds) throw ModelError(sentence);
}

void check(const Record& record) {
    const std::size_t count = record.frequency.size();
    std::set<std::string> names;
    for (const ResponseCurve& curve : record.curves) {
        require(curve.magnitude.size() == count && curve.phase.size() == count,
                fmt::format("\"{}\" has another length than the frequencies", curve.name));
        require(!curve.name.empty() &&
                    curve.name.find_first_of(std::string_view("/\0", 2)) == std::string::npos,
                fmt::format("\"{}\" cannot be the name of a response", curve.name));
        require(names.insert(curve.name).second,
                fmt::format("there are two responses \"{}\"", curve.name));
    }
    for (const StageIsolation& stage : record.stages) {
        require(stage.slips.size() == count && stage.sticks.size() == count,
                fmt::format("stage \"{}\" has another length than the frequencies", stage.stage));
    }
    for (const Record::Coefficient& row : record.rows) {
        require(
            row.element >= 0 && static_cast<std::size_t>(row.element) < record.elements.size() &&
                row.inertia >= 0 && static_cast<std::size_t>(row.inertia) < record.inertias.size(),
            "a coefficient of the model points nowhere");
    }
}

void write_point(const GroupOut& root, const Record& record) {
    write_attribute(root.id(), "gear", record.gear);
    write_attribute(root.id(), "engine_speed", record.speed);
    write_attribute(root.id(), "engine_torque", record.torque);
    write_attribute(root.id(), "disc_torque", record.disc_torque);
    write_attribute(root.id(), "stage", record.stage);
    write_attribute(root.id(), "disc_stiffness", record.disc_stiffness);
    write_attribute(root.id(), "firing_order", record.firing_order);
    write_attribute(root.id(), "firing_frequency", record.firing_frequency);
    write_attribute(root.id(), "firing_torque", record.firing_torque);
    write_attribute(root.id(), "from", record.from);
    write_attribute(root.id(), "friction", record.friction);
    write_attribute(root.id(), "swing", record.swing);
    write_attribute(root.id(), "met_in", record.swinging);
}

void write_axis(GroupOut& group, std::span<const double> frequency) {
    group.write_axis("frequency", frequency, {"Hz", "frequency of the swinging torque"});
}

void write_curves(GroupOut& root, const Record& record) {
    GroupOut spectra = root.make_group("spectra");
    std::vector<layout::TopRow> found;
    for (const ResponseCurve& curve : record.curves) {
        GroupOut group = spectra.make_group(curve.name);
        write_attribute(group.id(), "label", curve.label);
        write_axis(group, record.frequency);
        group.write_column(
            "magnitude", curve.magnitude,
            {curve.units, "amplitude of the " + curve.label + " per amplitude of the torque"});
        group.write_column("phase", curve.phase,
                           {"rad", "phase of the " + curve.label + ", positive ahead"});
        for (const ResponseCurve::Top& top : curve.tops) {
            found.push_back({curve.name, top.frequency, top.peak, top.damping});
        }
    }
    write_table(root, "resonances", found, layout::response_tops);
}

/// A part's name from a file as the name of a group: a slash would open another one.
std::string as_name(std::string text) {
    for (char& c : text) {
        if (c == '/' || c == '\0') c = '_';
    }
    return text;
}

void write_stages(GroupOut& root, const Record& record) {
    GroupOut isolation = root.make_group("isolation");
    int number = 0;
    for (const StageIsolation& stage : record.stages) {
        GroupOut group = isolation.make_group(
            as_name(fmt::format("{}_{}_{}", ++number, stage.stage, stage.side)));
        write_axis(group, record.frequency);
        group.write_column("slips", stage.slips,
                           {"1", "speed of gearbox input over flywheel, friction slipping"});
        group.write_column("sticks", stage.sticks,
                           {"1", "speed of gearbox input over flywheel, friction sticking"});
    }
    write_table(root, "stages", record.stages, layout::response_stages);
}

void write_equivalent(GroupOut& root, const char* name, const std::vector<EquivalentRow>& table) {
    GroupOut group = root.make_group(name);
    std::vector<double> values;
    const auto take = [&](double EquivalentRow::*member) -> const std::vector<double>& {
        values.clear();
        for (const EquivalentRow& row : table) values.push_back(row.*member);
        return values;
    };
    write_axis(group, take(&EquivalentRow::frequency));
    const auto write_one = [&](const layout::Column<EquivalentRow, double>& column) {
        group.write_column(column.name, take(column.member), {column.units, column.meaning});
    };
    std::apply([&](const auto&... column) { (write_one(column), ...); },
               layout::response_equivalent);
}

void fill(GroupOut& root, const Record& record) {
    write_identity(root, record.identity,
                   {layout::response_format_name, layout::response_format_version},
                   "frequency response");
    write_point(root, record);
    GroupOut asked = root.make_group("band");
    write_axis(asked, record.frequency);
    GroupOut model = root.make_group("model");
    write_table(model, "inertias", record.inertias, layout::response_inertias);
    write_table(model, "elements", record.elements, layout::response_elements);
    write_table(model, "rows", record.rows, layout::response_rows);
    write_curves(root, record);
    write_stages(root, record);
    write_equivalent(root, "equivalent", record.equivalent);
    // A group of its own: the firing frequency is none of those along which the others run.
    std::vector<EquivalentRow> firing;
    if (!record.equivalent.empty()) firing.push_back(record.at_firing);
    write_equivalent(root, "equivalent_at_firing", firing);
    write_texts(root, "remarks", "remark", record.remarks, "what to mind");
}

}  // namespace

std::vector<std::byte> response_bytes(const ResponseRecord& record) {
    check(record);
    return sealed_image("the file", [&](GroupOut& root) { fill(root, record); });
}

void write_response(const std::filesystem::path& path, const ResponseRecord& record) {
    write_file_atomically(path, response_bytes(record));
}

}  // namespace damper
