// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/contenders.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/general/general_solver.hpp"

#include <array>
#include <boost/version.hpp>
#include <fmt/format.h>
#include <set>
#include <stdexcept>
#include <sundials/sundials_version.h>
#include <utility>

namespace damper::benchmarks {

namespace {

/// Deviation of the input shaft's speed.
struct InputSpeed : Sink {
    explicit InputSpeed(int at) : mass(static_cast<std::size_t>(at)) {}
    void sample(const Instant& instant) override { values.push_back(instant.speed[mass]); }
    std::size_t mass;
    std::vector<double> values;
};

TimeOutcome solve(const Prepared& p, const Entrant& entrant, double end, double step, Sink* sink) {
    TimeSettings settings{.end = end, .sample_step = step};
    if (entrant.family == Family::general) settings.tolerance = entrant.tolerance;
    const TimeOutcome out = entrant.family == Family::exact
                                ? solve_exact(p.assembled.line, p.start, settings, sink)
                                : solve_general(p.assembled.line, p.start, settings, sink);
    if (!out.report.complete) {
        throw std::runtime_error(
            name_of(entrant.family) + " did not finish" +
            (out.report.warnings.empty() ? std::string() : ": " + out.report.warnings[0]));
    }
    return out;
}

peers::Course integrate_peer(const Prepared& p, const Entrant& entrant, double end, double step) {
    if (entrant.family == Family::lean) {
        return peers::integrate_explicitly(p.car, end, step, entrant.tolerance);
    }
    const auto formulas =
        entrant.family == Family::bdf ? peers::Formulas::bdf : peers::Formulas::adams;
    return peers::integrate(p.car, formulas, end, step, entrant.tolerance);
}

bool of_library(Family family) {
    return family == Family::exact || family == Family::general;
}

/// Sets of modes in the order of the changes; parts that never change do not count.
std::size_t distinct_mode_sets(const EventTable& events) {
    std::vector<int> modes(events.elements.size(), -1);
    for (auto change = events.changes.rbegin(); change != events.changes.rend(); ++change) {
        modes[static_cast<std::size_t>(change->element)] = change->from;  // the first one stays
    }
    std::set<std::vector<int>> met = {modes};
    for (const ModeChange& change : events.changes) {
        modes[static_cast<std::size_t>(change.element)] = change.to;
        met.insert(modes);
    }
    return met.size();
}

}  // namespace

std::string name_of(Family family) {
    static const std::array names = {"exact", "general", "Odeint, lean", "CVODE BDF",
                                     "CVODE Adams"};
    return names.at(static_cast<std::size_t>(family));
}

const std::vector<Family>& peers_of_exact() {
    static const std::vector<Family> all = {Family::general, Family::lean, Family::bdf,
                                            Family::adams};
    return all;
}

const std::vector<double>& tolerances_of(Family family) {
    static const std::vector<double> none = {0.0};
    static const std::vector<double> odeint = {1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10, 1e-11};
    static const std::vector<double> cvode = {1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9, 1e-10};
    if (family == Family::exact) return none;
    return family == Family::bdf || family == Family::adams ? cvode : odeint;
}

Prepared::Prepared(const Scenario& scenario)
    : assembled(assemble(scenario)),
      start(steady_state(assembled.line).state),
      car(peers::idle_car(scenario)) {}

Course run(const Prepared& p, const Entrant& entrant, double end, double step) {
    Course course;
    if (of_library(entrant.family)) {
        InputSpeed sink(p.assembled.input_shaft);
        EventCollector events(p.assembled.line, &sink);
        TimeOutcome out = solve(p, entrant, end, step, &events);
        course.input_speed = std::move(sink.values);
        course.steps = static_cast<long>(out.report.steps);
        course.switches = static_cast<long>(out.report.mode_changes);
        const EventTable table = events.take();
        course.mode_sets = distinct_mode_sets(table);
        for (const Impact& impact : table.impacts) {
            course.touches.push_back({impact.time, impact.closing_speed});
        }
        course.report = std::move(out.report);
        return course;
    }
    peers::Course theirs = integrate_peer(p, entrant, end, step);
    course.input_speed = std::move(theirs.input_speed);
    for (double& speed : course.input_speed) speed -= p.car.speed;
    course.touches = std::move(theirs.touches);
    course.steps = theirs.steps;
    course.switches = theirs.restarts;
    return course;
}

void run_silently(const Prepared& p, const Entrant& entrant, double end) {
    if (of_library(entrant.family)) {
        (void)solve(p, entrant, end, end, nullptr);
    } else {
        (void)integrate_peer(p, entrant, end, end);
    }
}

std::string versions() {
    std::array<char, 64> sundials{};
    SUNDIALSGetVersion(sundials.data(), static_cast<int>(sundials.size()));
    return fmt::format("Boost.Odeint {}.{}.{}, SUNDIALS CVODE {}, g++ {}", BOOST_VERSION / 100000,
                       BOOST_VERSION / 100 % 1000, BOOST_VERSION % 100, sundials.data(),
                       __VERSION__);
}

}  // namespace damper::benchmarks
