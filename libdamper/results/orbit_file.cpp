// SPDX-License-Identifier: MIT
#include "libdamper/results/orbit_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/orbit_layout.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <limits>
#include <string>
#include <tuple>

namespace damper {

namespace {

using Rows = std::vector<std::vector<double>>;

void require_fit(const OrbitRecord& record) {
    for (const OrbitPoint& point : record.points) {
        if (point.amplitude.size() != record.signals.size()) {
            throw ModelError(
                "a point of an orbit record has amplitudes of another count of "
                "signals than the record");
        }
    }
}

/// Units of the parameter.
std::string units_of(const OrbitRecord& record) {
    return record.key.empty() ? "rad/s" : record.key_units;
}

constexpr const char* parameter_is = "engine speed, or value of the key that is varied";

void write_stability(GroupOut& group, const H5Dataset& axis, const OrbitRecord& record) {
    std::vector<std::int8_t> stable;
    std::vector<std::int8_t> fold;
    std::vector<double> multiplier;
    for (const OrbitPoint& point : record.points) {
        stable.push_back(!point.judged ? -1 : point.stable ? 1 : 0);
        fold.push_back(point.is_fold ? 1 : 0);
        multiplier.push_back(point.judged ? point.multiplier
                                          : std::numeric_limits<double>::quiet_NaN());
    }
    group.write_along(axis, "stable", stable, {"", "1: stable, 0: not, -1: not known"});
    group.write_along(axis, "multiplier", multiplier,
                      {"1", "largest magnitude of the Floquet multipliers; below 1 is stable"});
    group.write_along(axis, "is_fold", fold, {"", "1: the curve turns here"});
}

void write_points(GroupOut group, const OrbitRecord& record) {
    const auto& points = record.points;
    std::vector<std::string> names;
    std::vector<std::string> units;
    for (const OrbitRecord::Signal& signal : record.signals) {
        names.push_back(signal.name);
        units.push_back(signal.units);
    }
    const H5Dataset axis = group.make_count_axis(
        "point", points.size(), {"", "number, in the order in which the curve was followed"});
    const H5Dataset orders =
        group.make_axis("order", record.orders, {"1", "multiple of the crank speed"});
    const H5Dataset signals = group.make_axis("signal", names, {"", "name of the signal"});
    const H5Dataset gears = group.make_axis("gear", record.gears, {"", "name of the loose gear"});
    group.write_along(signals, "signal_units", units, {"", "units of the signal, UDUNITS"});

    const auto write_one = [&]<class T>(const layout::Column<OrbitPoint, T>& column) {
        std::vector<double> values;
        for (const OrbitPoint& point : points) {
            values.push_back(static_cast<double>(point.*column.member));
        }
        group.write_along(axis, column.name, values, {column.units, column.meaning});
    };
    std::apply([&](const auto&... column) { (write_one(column), ...); }, layout::orbit_numbers);
    std::apply([&](const auto&... column) { (write_one(column), ...); }, layout::orbit_counts);
    std::vector<double> parameter;
    for (const OrbitPoint& point : points) parameter.push_back(point.parameter);
    group.write_along(axis, "parameter", parameter, {units_of(record), parameter_is});
    write_stability(group, axis, record);
    std::vector<std::string> methods;
    for (const OrbitPoint& point : points) methods.emplace_back(method_name(point.method));
    group.write_along(axis, "method", methods,
                      {"", "balance: harmonic balance, shooting: an exact run that closes"});

    Rows swing;
    Rows ratio;
    for (const OrbitPoint& point : points) {
        swing.push_back(point.swing);
        ratio.push_back(point.rattle_ratio);
    }
    // Signals have different units: one matrix each, so that every number has its unit beside it.
    for (std::size_t s = 0; s < names.size(); ++s) {
        Rows amplitude;
        for (const OrbitPoint& point : points) amplitude.push_back(point.amplitude[s]);
        group.write_matrix(axis, orders, record.orders.size(),
                           layout::orbit_dataset(names[s]) + "_amplitude", amplitude,
                           {units[s], names[s] + ", 0 to peak, by order"});
    }
    group.write_matrix(axis, signals, names.size(), "peak_to_peak", swing,
                       {"", "swing of each signal, in its own units"});
    group.write_matrix(axis, gears, record.gears.size(), "rattle_ratio", ratio,
                       {"1", "inertia torque over drag; above 1 the teeth part"});
}

template <class Row>
void write_parameters(GroupOut& group, const std::vector<Row>& rows, const std::string& units) {
    std::vector<double> values;
    for (const Row& row : rows) values.push_back(row.parameter);
    group.write_column("parameter", values, {units, parameter_is});
}

/// Jumps and gaps.
template <class Row>
GroupOut write_spans(GroupOut& root, const char* name, const std::vector<Row>& rows,
                     const std::string& units) {
    GroupOut group = root.make_group(name);
    group.write_index(rows.size());
    std::vector<double> low;
    std::vector<double> high;
    for (const Row& row : rows) {
        low.push_back(row.low);
        high.push_back(row.high);
    }
    group.write_column("low", low, {units, "lower end of the parameter"});
    group.write_column("high", high, {units, "upper end of the parameter"});
    return group;
}

void write_checks(GroupOut& root, const OrbitRecord& record) {
    GroupOut group = write_table(root, "checks", record.checks, layout::orbit_checks);
    write_parameters(group, record.checks, units_of(record));
    const H5Dataset runs = group.make_count_axis("run", record.checks.size(), {"", "number"});
    const H5Dataset orders =
        group.make_axis("order", record.orders, {"1", "multiple of the crank speed"});
    Rows curve;
    Rows run;
    for (const OrbitCheck& check : record.checks) {
        // A run that ended early has no amplitudes.
        const std::vector<double> none(record.orders.size(),
                                       std::numeric_limits<double>::quiet_NaN());
        curve.push_back(check.finished ? check.curve : none);
        run.push_back(check.finished ? check.run : none);
    }
    group.write_matrix(runs, orders, record.orders.size(), "curve_amplitude", curve,
                       {"rad/s", "gearbox input speed on the curve, 0 to peak, by order"});
    group.write_matrix(runs, orders, record.orders.size(), "run_amplitude", run,
                       {"rad/s", "gearbox input speed in the run, 0 to peak, by order"});
}

void fill(GroupOut& root, const OrbitRecord& record) {
    require_fit(record);
    write_identity(root, record.identity, {layout::orbit_format_name, layout::orbit_format_version},
                   "");
    write_attribute(root.id(), "curve", record.curve);
    write_attribute(root.id(), "gear", record.gear);
    write_attribute(root.id(), "loose_gears", record.loose_gears);
    write_attribute(root.id(), "complete", std::int64_t{record.complete});
    write_attribute(root.id(), "stopped", std::int64_t{record.stopped});
    write_attribute(root.id(), "key", record.key);
    write_attribute(root.id(), "key_units", record.key_units);
    write_attribute(root.id(), "key_multiplies", std::int64_t{record.key_multiplies});
    root.write_scalar("held_speed", record.engine_speed,
                      {"rad/s", "engine speed while a key is varied; else 0"});
    root.write_scalar("from", record.from, {units_of(record), "one end that was asked for"});
    root.write_scalar("to", record.to, {units_of(record), "the other end that was asked for"});
    root.write_scalar("load", record.load, {"1", "share of the engine's peak torque"});
    root.write_scalar("firing_order", record.firing_order, {"1", "half the cylinders"});
    write_points(root.make_group("orbit"), record);
    GroupOut folds = root.make_group("folds");
    folds.write_index(record.folds.size());
    const std::string units = units_of(record);
    folds.write_column("parameter", record.folds, {units, "the curve turns here"});
    write_spans(root, "jumps", record.jumps, units);
    GroupOut gaps = write_spans(root, "gaps", record.gaps, units);
    std::vector<std::string> why;
    for (const OrbitGap& gap : record.gaps) why.push_back(gap.why);
    gaps.write_column("why", why, {"", "why the curve ends there"});
    GroupOut unsettled = write_table(root, "unsettled", record.unsettled, layout::orbit_unsettled);
    write_parameters(unsettled, record.unsettled, units);
    write_checks(root, record);
}

}  // namespace

std::vector<std::byte> orbit_bytes(const OrbitRecord& record) {
    return sealed_image("the motions", [&](GroupOut& root) { fill(root, record); });
}

void write_orbit(const std::filesystem::path& path, const OrbitRecord& record) {
    write_file_atomically(path, orbit_bytes(record));
}

}  // namespace damper
