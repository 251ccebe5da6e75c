// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/variants.hpp"

#include "libdamper/studies/measure_one.hpp"

#include "benchmarks/solver_race/drivelines.hpp"
#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace damper::benchmarks {

namespace {

constexpr std::uint64_t first_seed = 20240501;  // any number

/// Even in the logarithm between 1/`most` and `most`; the same on every machine.
double scatter(std::mt19937_64& random, double most) {
    const double share = static_cast<double>(random() >> 11U) * 0x1p-53;
    return std::exp((2.0 * share - 1.0) * std::log(most));
}

template <typename Q>
void scale(Q& quantity, double factor) {
    quantity = Q::from_si(quantity.si() * factor);
}

}  // namespace

Scenario study_base() {
    Scenario base = shipped_scenario("car_idle_firm_idle_stage");
    auto& idle = std::get<Idle>(base.manoeuvre);
    idle.length = Time::from_si(2.0);
    base.changed_from_outside = true;  // its bands were made for another length
    return base;
}

Scenario variant(const Scenario& base, std::uint64_t index) {
    std::mt19937_64 random(first_seed + index);
    Scenario out = base;
    DiscStage& idle = out.vehicle.disc.stages.front();
    const double stiffness = scatter(random, 1.8);
    scale(idle.stiffness, stiffness);
    scale(idle.coast_stiffness, stiffness);
    scale(idle.hysteresis, scatter(random, 2.0));
    scale(idle.drive_end, scatter(random, 1.3));
    scale(idle.coast_end, scatter(random, 1.3));
    const double drag = scatter(random, 1.4);
    Gearbox& box = out.vehicle.gearbox;
    scale(box.shaft_drag_constant, drag);
    scale(box.shaft_drag_viscous, drag);
    for (GearPair& gear : box.gears) {
        const double own = drag * scatter(random, 1.2);
        scale(gear.drag_constant, own);
        scale(gear.drag_viscous, own);
    }
    return out;
}

std::vector<double> measures_of(const Scenario& scenario, const std::string& solver,
                                double tolerance, const std::vector<std::string>& names) {
    thread_local RunMeasures workspace;
    const MeasuredRun run =
        measure_one(scenario, {.solver = solver, .tolerance = tolerance}, workspace);
    std::vector<double> out(names.size(), std::numeric_limits<double>::quiet_NaN());
    if (!run.solver.complete) return out;
    for (const MeasureValue& measure : run.measured.measures) {
        const auto at = std::find(names.begin(), names.end(), measure.name);
        if (at != names.end()) out[static_cast<std::size_t>(at - names.begin())] = measure.value;
    }
    return out;
}

std::vector<std::string> measure_names(const Scenario& scenario) {
    std::vector<std::string> out;
    for (const MeasureValue& m : measure_one(scenario, {.solver = "exact"}).measured.measures) {
        out.push_back(m.name);
    }
    return out;
}

}  // namespace damper::benchmarks
