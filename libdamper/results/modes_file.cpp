// SPDX-License-Identifier: MIT
#include "libdamper/results/modes_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/modes_layout.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <string>
#include <tuple>

namespace damper {

namespace {

/// A gear's name may hold what a path in HDF5 may not; its number in the list always does.
std::string group_of(const GearModes& gear, std::size_t number) {
    const bool plain = std::all_of(gear.gear.begin(), gear.gear.end(), [](unsigned char letter) {
        return std::isalnum(letter) != 0 || letter == '_' || letter == '-';
    });
    return plain && !gear.gear.empty() ? gear.gear : fmt::format("gear_{}", number + 1);
}

/// Columns of a list of rows along an axis that is already there.
template <class Row, class Columns>
void write_lists(GroupOut& group, const H5Dataset& axis, const std::vector<Row>& rows,
                 const Columns& columns) {
    const auto write_one = [&](const layout::Column<Row, double>& column) {
        std::vector<double> values;
        values.reserve(rows.size());
        for (const Row& row : rows) values.push_back(row.*column.member);
        group.write_along(axis, column.name, values, {column.units, column.meaning});
    };
    std::apply([&](const auto&... column) { (write_one(column), ...); }, columns);
}

template <class Row, class Columns>
void write_matrices(GroupOut& group, const H5Dataset& modes, const H5Dataset& other,
                    std::size_t count, const std::vector<Row>& rows, const Columns& columns) {
    const auto write_one = [&](const layout::Column<Row, layout::ModeList>& column) {
        std::vector<std::vector<double>> values;
        values.reserve(rows.size());
        for (const Row& row : rows) values.push_back(row.*column.member);
        group.write_matrix(modes, other, count, column.name, values,
                           {column.units, column.meaning});
    };
    std::apply([&](const auto&... column) { (write_one(column), ...); }, columns);
}

template <class Row>
std::vector<std::string> names_of(const std::vector<Row>& rows) {
    std::vector<std::string> names;
    for (const Row& row : rows) names.push_back(row.name);
    return names;
}

void write_gear(GroupOut group, const GearModes& gear, const std::vector<EngineOrder>& orders) {
    std::vector<double> order;
    for (const EngineOrder& one : orders) order.push_back(one.order);
    const H5Dataset modes =
        group.make_count_axis("mode", gear.modes.size(), {"", "number, rising in frequency"});
    const H5Dataset inertias =
        group.make_axis("inertia", names_of(gear.inertias), {"", "name of the inertia"});
    const H5Dataset elements =
        group.make_axis("element", names_of(gear.elements), {"", "name of the element"});
    const H5Dataset order_axis =
        group.make_axis("order", order, {"1", "multiple of the crank speed"});

    group.write_along(modes, "name", names_of(gear.modes),
                      {"", "what the trade calls it; empty where no rule says"});
    write_lists(group, modes, gear.modes, layout::mode_numbers);
    std::vector<std::int8_t> repeated;
    for (const ModeRow& mode : gear.modes) repeated.push_back(mode.repeated ? 1 : 0);
    group.write_along(modes, "repeated", repeated,
                      {"", "1: shapes and shares of neighbours are mixtures of each other"});
    write_lists(group, inertias, gear.inertias, layout::mode_inertias);
    write_lists(group, elements, gear.elements, layout::mode_elements);
    std::vector<std::vector<double>> rows;
    for (const GearModes::Element& element : gear.elements) rows.push_back(element.row);
    group.write_matrix(elements, inertias, gear.inertias.size(), "row", rows,
                       {"1", "g in twist = sum of g times angle"});
    write_matrices(group, modes, inertias, gear.inertias.size(), gear.modes,
                   layout::mode_by_inertia);
    write_matrices(group, modes, elements, gear.elements.size(), gear.modes,
                   layout::mode_by_element);
    std::vector<std::vector<double>> critical;
    for (const ModeRow& mode : gear.modes) {
        auto& row = critical.emplace_back();
        for (const double one : order) row.push_back(critical_speed(mode.frequency, one));
    }
    group.write_matrix(modes, order_axis, order.size(), "critical_speed", critical,
                       {"rad/s", "engine speed at which the order meets the frequency"});
    std::vector<layout::InfluenceRow> influences;
    for (std::size_t m = 0; m < gear.influences.size(); ++m) {
        for (const ModeInfluence& one : gear.influences[m]) {
            influences.push_back({static_cast<int>(m) + 1, one.what, one.per_tenth});
        }
    }
    write_table(group, "influences", influences, layout::mode_influences);
}

void write_slipping(GroupOut& root, const std::vector<SlippingModes>& slipping) {
    GroupOut table = write_table(root, "slipping", slipping, layout::slipping_points);
    for (std::size_t s = 0; s < slipping.size(); ++s) {
        const SlippingModes& one = slipping[s];
        GroupOut group = table.make_group(fmt::format("{}", s + 1));
        const H5Dataset modes =
            group.make_count_axis("mode", one.modes.size(), {"", "number, rising in frequency"});
        const H5Dataset inertias =
            group.make_axis("inertia", one.inertias, {"", "name of the inertia"});
        group.write_along(modes, "name", names_of(one.modes),
                          {"", "judder: the one that the vehicle feels most"});
        write_lists(group, modes, one.modes, layout::slipping_numbers);
        write_matrices(group, modes, inertias, one.inertias.size(), one.modes,
                       layout::slipping_by_inertia);
    }
}

void fill(GroupOut& root, const ModesRecord& record) {
    write_identity(root, record.identity, {layout::modes_format_name, layout::modes_format_version},
                   "");
    write_attribute(root.id(), "friction", record.friction);
    root.write_scalar("lowest_speed", record.lowest_speed, {"rad/s", "idle speed of the engine"});
    root.write_scalar("highest_speed", record.highest_speed,
                      {"rad/s", "end of the engine's usable range"});
    root.write_scalar("firing_order", record.firing_order, {"1", "half the cylinders"});
    write_table(root, "orders", record.orders, layout::engine_orders);
    GroupOut gears = write_table(root, "gears", record.gears, layout::gear_points);
    std::vector<std::string> groups;
    for (std::size_t g = 0; g < record.gears.size(); ++g) {
        groups.push_back(group_of(record.gears[g], g));
    }
    gears.write_column("group", groups, {"", "its group below /modes"});
    GroupOut modes = root.make_group("modes");
    for (std::size_t g = 0; g < record.gears.size(); ++g) {
        write_gear(modes.make_group(groups[g]), record.gears[g], record.orders);
    }
    write_slipping(root, record.slipping);
}

}  // namespace

std::vector<std::byte> modes_bytes(const ModesRecord& record) {
    return sealed_image("the modes", [&](GroupOut& root) { fill(root, record); });
}

void write_modes(const std::filesystem::path& path, const ModesRecord& record) {
    write_file_atomically(path, modes_bytes(record));
}

}  // namespace damper
