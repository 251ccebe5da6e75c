// SPDX-License-Identifier: MIT
#include "libdamper/measures/measure_run.hpp"

#include "libdamper/measures/run_measures.hpp"

#include <algorithm>
#include <array>
#include <span>
#include <utility>
#include <vector>

namespace damper {
namespace {

/// Where a number of a sample is stored.
struct Column {
    double RunSample::*member;
    const char* signal;
};

constexpr std::array all_columns = {
    Column{&RunSample::crank_angle, "crank_angle"},
    Column{&RunSample::flywheel_speed, "flywheel_speed"},
    Column{&RunSample::input_shaft_speed, "input_shaft_speed"},
    Column{&RunSample::flywheel_acceleration, "flywheel_acceleration"},
    Column{&RunSample::input_shaft_acceleration, "input_shaft_acceleration"},
    Column{&RunSample::disc_twist, "disc_twist"},
    Column{&RunSample::vehicle_acceleration, "vehicle_acceleration"},
    Column{&RunSample::drive_shaft_torque, "drive_shaft_torque"},
    Column{&RunSample::clutch_torque, "clutch_torque"},
    Column{&RunSample::slip_speed, "clutch_slip"},
    Column{&RunSample::slip_angle, "clutch_slip_angle"},
    Column{&RunSample::clamp_load, "clutch_clamp"},
    Column{&RunSample::vehicle_speed, "vehicle_speed"},
    Column{&RunSample::flywheel_twist, "flywheel_twist"},
    Column{&RunSample::block_roll, "block_roll"}};

void add_spectra(const RunFacts& facts, const SignalSet& signals, Measured& measured) {
    const double highest = std::max(8.0, 4.0 * facts.firing_order);
    const std::span<const double> angle = signals.from("crank_angle", facts.measured_from);
    for (const char* name : {"flywheel_acceleration", "input_shaft_acceleration"}) {
        OrderSpectrum spectrum = order_spectrum(
            name, signals.at(name).units, signals.from(name, facts.measured_from), angle, highest);
        if (!spectrum.order.empty()) measured.spectra.push_back(std::move(spectrum));
    }
}

}  // namespace

Measured measure_run(const RunFacts& facts, const SignalSet& signals, const EventTable& events) {
    RunMeasures measures;
    measures.start(facts, events.elements);
    std::vector<std::pair<double RunSample::*, std::span<const double>>> stored;
    for (const Column& column : all_columns) {
        if (!signals.has(column.signal)) continue;
        stored.emplace_back(column.member, signals.at(column.signal).values);
    }
    for (std::size_t i = 0; i < signals.time.size(); ++i) {
        RunSample sample{.time = signals.time[i]};
        for (const auto& [member, values] : stored) sample.*member = values[i];
        measures.sample(sample);
    }
    for (const Impact& impact : events.impacts) measures.impact(impact);
    Measured measured = measures.finish();
    if (measure_kind(facts.manoeuvre) == MeasureKind::steady) add_spectra(facts, signals, measured);
    return measured;
}

}  // namespace damper
