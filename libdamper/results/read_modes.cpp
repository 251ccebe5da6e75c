// SPDX-License-Identifier: MIT
#include "libdamper/results/modes_layout.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <fmt/format.h>
#include <string>
#include <tuple>

namespace damper {

namespace {

template <class Row, class Columns>
void read_matrices(const GroupIn& group, std::vector<Row>& rows, std::size_t columns,
                   const Columns& layout) {
    const auto read_one = [&](const layout::Column<Row, layout::ModeList>& column) {
        auto values = group.read_matrix(column.name, rows.size(), columns);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows[i].*column.member = std::move(values[i]);
        }
    };
    std::apply([&](const auto&... column) { (read_one(column), ...); }, layout);
}

void read_influences(const GroupIn& group, GearModes& gear) {
    gear.influences.assign(gear.modes.size(), {});
    for (layout::InfluenceRow& row :
         read_table<layout::InfluenceRow>(group, "influences", layout::mode_influences)) {
        expect(row.mode >= 1 && static_cast<std::size_t>(row.mode) <= gear.modes.size(),
               "influences: a row belongs to no mode");
        gear.influences[static_cast<std::size_t>(row.mode) - 1].push_back(
            {std::move(row.what), row.per_tenth});
    }
}

void read_gear(const GroupIn& group, GearModes& gear) {
    gear.inertias = read_named<GearModes::Inertia>(group, "inertia");
    gear.elements = read_named<GearModes::Element>(group, "element");
    read_lists(group, gear.inertias, layout::mode_inertias);
    read_lists(group, gear.elements, layout::mode_elements);
    auto rows = group.read_matrix("row", gear.elements.size(), gear.inertias.size());
    for (std::size_t e = 0; e < rows.size(); ++e) gear.elements[e].row = std::move(rows[e]);

    gear.modes = read_named<ModeRow>(group, "name");
    read_lists(group, gear.modes, layout::mode_numbers);
    const auto repeated = read_rows_of<std::int8_t>(group, "repeated", gear.modes.size());
    for (std::size_t m = 0; m < repeated.size(); ++m) gear.modes[m].repeated = repeated[m] != 0;
    read_matrices(group, gear.modes, gear.inertias.size(), layout::mode_by_inertia);
    read_matrices(group, gear.modes, gear.elements.size(), layout::mode_by_element);
    read_influences(group, gear);
}

}  // namespace

ModesRecord read_modes(const GroupIn& root) {
    require_kind(root, {layout::modes_format_name, layout::modes_format_version});
    ModesRecord record;
    record.identity = read_identity(root);
    record.friction = read_text(root.id(), "friction");
    record.lowest_speed = root.read_scalar("lowest_speed");
    record.highest_speed = root.read_scalar("highest_speed");
    record.firing_order = root.read_scalar("firing_order");
    record.orders = read_table<EngineOrder>(root, "orders", layout::engine_orders);
    record.gears = read_table<GearModes>(root, "gears", layout::gear_points);
    const auto groups =
        read_rows_of<std::string>(root.open_group("gears"), "group", record.gears.size());
    const GroupIn modes = root.open_group("modes");
    for (std::size_t g = 0; g < groups.size(); ++g) {
        read_gear(modes.open_group(groups[g]), record.gears[g]);
    }
    record.slipping = read_table<SlippingModes>(root, "slipping", layout::slipping_points);
    const GroupIn slipping = root.open_group("slipping");
    for (std::size_t s = 0; s < record.slipping.size(); ++s) {
        const GroupIn group = slipping.open_group(fmt::format("{}", s + 1));
        SlippingModes& one = record.slipping[s];
        group.read_column("inertia", one.inertias);
        one.modes = read_named<SlippingRow>(group, "name");
        read_lists(group, one.modes, layout::slipping_numbers);
        read_matrices(group, one.modes, one.inertias.size(), layout::slipping_by_inertia);
    }
    return record;
}

}  // namespace damper
