// SPDX-License-Identifier: MIT
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/response_layout.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <algorithm>
#include <string>

namespace damper {

namespace {

using Record = ResponseRecord;

void read_point(const GroupIn& root, Record& record) {
    const auto text = [&](const char* name) { return read_text(root.id(), name); };
    const auto number = [&](const char* name) { return read_number(root.id(), name); };
    record.gear = text("gear");
    record.speed = number("engine_speed");
    record.torque = number("engine_torque");
    record.disc_torque = number("disc_torque");
    record.stage = text("stage");
    record.disc_stiffness = number("disc_stiffness");
    record.firing_order = number("firing_order");
    record.firing_frequency = number("firing_frequency");
    record.firing_torque = number("firing_torque");
    record.from = text("from");
    record.friction = text("friction");
    record.swing = number("swing");
    record.swinging = text("met_in");
}

void read_curves(const GroupIn& root, Record& record) {
    const GroupIn spectra = root.open_group("spectra");
    const std::size_t count = record.frequency.size();
    for (const std::string& name : spectra.names()) {
        const GroupIn group = spectra.open_group(name);
        ResponseCurve& curve = record.curves.emplace_back();
        curve.name = name;
        curve.label = read_text(group.id(), "label");
        curve.units = read_text_if_there(group.open_dataset("magnitude").id(), "units");
        curve.magnitude = read_rows_of<double>(group, "magnitude", count);
        curve.phase = read_rows_of<double>(group, "phase", count);
    }
    for (const layout::TopRow& top :
         read_table<layout::TopRow>(root, "resonances", layout::response_tops)) {
        const auto curve = std::ranges::find(record.curves, top.response, &ResponseCurve::name);
        expect(curve != record.curves.end(), "resonances: a row belongs to no response");
        curve->tops.push_back({top.frequency, top.peak, top.damping});
    }
}

void read_stages(const GroupIn& root, Record& record) {
    record.stages = read_table<StageIsolation>(root, "stages", layout::response_stages);
    const GroupIn isolation = root.open_group("isolation");
    const std::vector<std::string> names = isolation.names();
    expect(names.size() == record.stages.size(), "isolation: has another count than the stages");
    for (std::size_t s = 0; s < names.size(); ++s) {
        const GroupIn group = isolation.open_group(names[s]);
        const std::size_t count = record.frequency.size();
        record.stages[s].slips = read_rows_of<double>(group, "slips", count);
        record.stages[s].sticks = read_rows_of<double>(group, "sticks", count);
    }
}

std::vector<EquivalentRow> read_equivalent(const GroupIn& root, const char* name) {
    const GroupIn group = root.open_group(name);
    std::vector<double> frequency;
    group.read_column("frequency", frequency);
    group.take_memory(frequency.size() * sizeof(EquivalentRow), name);
    std::vector<EquivalentRow> rows(frequency.size());
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i].frequency = frequency[i];
    read_lists(group, rows, layout::response_equivalent);
    return rows;
}

}  // namespace

ResponseRecord read_response(const GroupIn& root) {
    require_kind(root, {layout::response_format_name, layout::response_format_version});
    Record record;
    record.identity = read_identity(root);
    read_point(root, record);
    root.open_group("band").read_column("frequency", record.frequency);
    const GroupIn model = root.open_group("model");
    record.inertias = read_table<Record::Inertia>(model, "inertias", layout::response_inertias);
    record.elements = read_table<Record::Element>(model, "elements", layout::response_elements);
    record.rows = read_table<Record::Coefficient>(model, "rows", layout::response_rows);
    read_curves(root, record);
    read_stages(root, record);
    record.equivalent = read_equivalent(root, "equivalent");
    expect(record.equivalent.empty() || record.equivalent.size() == record.frequency.size(),
           "equivalent: has another length than the frequencies");
    const std::vector<EquivalentRow> firing = read_equivalent(root, "equivalent_at_firing");
    expect(firing.size() == (record.equivalent.empty() ? 0 : 1),
           "equivalent_at_firing: is not one row");
    if (!firing.empty()) record.at_firing = firing.front();
    record.remarks = read_texts(root, "remarks", "remark");
    return record;
}

}  // namespace damper
