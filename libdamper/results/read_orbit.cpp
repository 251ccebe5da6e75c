// SPDX-License-Identifier: MIT
#include "libdamper/results/orbit_layout.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/table_io.hpp"

#include <string>
#include <tuple>

namespace damper {

namespace {

/// Pages show speeds of flywheel and gearbox input, acceleration and disc torque; gears add more.
constexpr std::size_t fewest_signals = 4;

template <class Row>
void read_parameters(const GroupIn& group, std::vector<Row>& rows) {
    const auto values = read_rows_of<double>(group, "parameter", rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i].parameter = values[i];
}

template <class Row>
GroupIn read_spans(const GroupIn& root, const char* name, std::vector<Row>& rows) {
    GroupIn group = root.open_group(name);
    std::vector<double> low;
    group.read_column("low", low);
    const auto high = read_rows_of<double>(group, "high", low.size());
    group.take_memory(low.size() * sizeof(Row), name);
    rows.resize(low.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
        rows[i].low = low[i];
        rows[i].high = high[i];
    }
    return group;
}

void read_stability(const GroupIn& group, std::vector<OrbitPoint>& points) {
    const auto stable = read_rows_of<std::int8_t>(group, "stable", points.size());
    const auto fold = read_rows_of<std::int8_t>(group, "is_fold", points.size());
    const auto multiplier = read_rows_of<double>(group, "multiplier", points.size());
    const auto method = read_rows_of<std::string>(group, "method", points.size());
    for (std::size_t p = 0; p < points.size(); ++p) {
        points[p].judged = stable[p] >= 0;
        points[p].stable = stable[p] > 0;
        points[p].multiplier = points[p].judged ? multiplier[p] : 0.0;
        points[p].is_fold = fold[p] != 0;
        points[p].method = OrbitMethod::balance;
        if (method[p] == method_name(OrbitMethod::shooting)) {
            points[p].method = OrbitMethod::shooting;
        } else {
            expect(method[p] == method_name(OrbitMethod::balance),
                   "method: \"" + method[p] + "\" is not a word that stands here");
        }
    }
}

void read_points(const GroupIn& group, OrbitRecord& record) {
    group.read_column("order", record.orders);
    record.signals = read_named<OrbitRecord::Signal>(group, "signal");
    expect(record.signals.size() >= fewest_signals, "signal: there are too few");
    const auto units = read_rows_of<std::string>(group, "signal_units", record.signals.size());
    for (std::size_t s = 0; s < units.size(); ++s) record.signals[s].units = units[s];
    group.read_column("gear", record.gears);
    std::vector<double> speed;
    group.read_column("engine_speed", speed);
    group.take_memory(speed.size() * sizeof(OrbitPoint), "point");
    auto& points = record.points;
    points.resize(speed.size());
    read_lists(group, points, layout::orbit_numbers);
    read_parameters(group, points);
    const auto read_counts = [&](const layout::Column<OrbitPoint, int>& column) {
        const auto values = read_rows_of<double>(group, column.name, points.size());
        for (std::size_t p = 0; p < points.size(); ++p) {
            points[p].*column.member = count_of(values[p], column.name);
        }
    };
    std::apply([&](const auto&... column) { (read_counts(column), ...); }, layout::orbit_counts);
    read_stability(group, points);
    for (const OrbitRecord::Signal& signal : record.signals) {
        auto amplitude = group.read_matrix(layout::orbit_dataset(signal.name) + "_amplitude",
                                           points.size(), record.orders.size());
        for (std::size_t p = 0; p < points.size(); ++p) {
            points[p].amplitude.push_back(std::move(amplitude[p]));
        }
    }
    auto swing = group.read_matrix("peak_to_peak", points.size(), record.signals.size());
    auto ratio = group.read_matrix("rattle_ratio", points.size(), record.gears.size());
    for (std::size_t p = 0; p < points.size(); ++p) {
        points[p].swing = std::move(swing[p]);
        points[p].rattle_ratio = std::move(ratio[p]);
    }
}

void read_checks(const GroupIn& root, OrbitRecord& record) {
    record.checks = read_table<OrbitCheck>(root, "checks", layout::orbit_checks);
    const GroupIn group = root.open_group("checks");
    read_parameters(group, record.checks);
    const std::size_t count = record.checks.size();
    auto curve = group.read_matrix("curve_amplitude", count, record.orders.size());
    auto run = group.read_matrix("run_amplitude", count, record.orders.size());
    for (std::size_t c = 0; c < count; ++c) {
        if (!record.checks[c].finished) continue;
        record.checks[c].curve = std::move(curve[c]);
        record.checks[c].run = std::move(run[c]);
    }
}

}  // namespace

OrbitRecord read_orbit(const GroupIn& root) {
    require_kind(root, {layout::orbit_format_name, layout::orbit_format_version});
    OrbitRecord record;
    record.identity = read_identity(root);
    record.curve = read_text(root.id(), "curve");
    record.gear = read_text(root.id(), "gear");
    record.loose_gears = read_text(root.id(), "loose_gears");
    record.complete = read_integer(root.id(), "complete") != 0;
    record.stopped = read_integer(root.id(), "stopped") != 0;
    record.key = read_text(root.id(), "key");
    record.key_units = read_text(root.id(), "key_units");
    record.key_multiplies = read_integer(root.id(), "key_multiplies") != 0;
    record.engine_speed = root.read_scalar("held_speed");
    record.from = root.read_scalar("from");
    record.to = root.read_scalar("to");
    record.load = root.read_scalar("load");
    record.firing_order = root.read_scalar("firing_order");
    read_points(root.open_group("orbit"), record);
    root.open_group("folds").read_column("parameter", record.folds);
    read_spans(root, "jumps", record.jumps);
    const GroupIn gaps = read_spans(root, "gaps", record.gaps);
    const auto why = read_rows_of<std::string>(gaps, "why", record.gaps.size());
    for (std::size_t g = 0; g < why.size(); ++g) record.gaps[g].why = why[g];
    record.unsettled = read_table<OrbitUnsettled>(root, "unsettled", layout::orbit_unsettled);
    read_parameters(root.open_group("unsettled"), record.unsettled);
    read_checks(root, record);
    return record;
}

}  // namespace damper
