// SPDX-License-Identifier: MIT
#include "libdamper/measures/measure_run.hpp"

#include "libdamper/measures/run_measures.hpp"

#include <algorithm>
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

const std::vector<Column>& columns(bool idle) {
    static const std::vector<Column> of_idle = {
        {&RunSample::crank_angle, "crank_angle"},
        {&RunSample::flywheel_speed, "flywheel_speed"},
        {&RunSample::input_shaft_speed, "input_shaft_speed"},
        {&RunSample::flywheel_acceleration, "flywheel_acceleration"},
        {&RunSample::input_shaft_acceleration, "input_shaft_acceleration"},
        {&RunSample::disc_twist, "disc_twist"}};
    static const std::vector<Column> of_change = {
        {&RunSample::vehicle_acceleration, "vehicle_acceleration"},
        {&RunSample::disc_twist, "disc_twist"}};
    return idle ? of_idle : of_change;
}

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
    const bool idle = facts.manoeuvre == "idle";
    std::vector<std::pair<double RunSample::*, std::span<const double>>> stored;
    for (const Column& column : columns(idle)) {
        stored.emplace_back(column.member, signals.at(column.signal).values);
    }
    for (std::size_t i = 0; i < signals.time.size(); ++i) {
        RunSample sample{.time = signals.time[i]};
        for (const auto& [member, values] : stored) sample.*member = values[i];
        measures.sample(sample);
    }
    for (const Impact& impact : events.impacts) measures.impact(impact);
    Measured measured = measures.finish();
    if (idle) add_spectra(facts, signals, measured);
    return measured;
}

}  // namespace damper
