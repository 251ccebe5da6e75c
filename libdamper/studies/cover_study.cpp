// SPDX-License-Identifier: MIT
#include "libdamper/studies/cover_study.hpp"

#include "libdamper/studies/cover_comparison.hpp"
#include "libdamper/studies/cover_figures.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/verdict/clutch_verdict.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace damper {

namespace {

constexpr int wear_points = 41;
constexpr int spring_points = 81;
constexpr int release_points = 61;
constexpr double celsius = 273.15;

/// Capacities at a clamp load.
class Capacities {
  public:
    Capacities(const ClutchModel& model, const CoverSettings& settings)
        : model_(model),
          run_in_(friction_radius(model.outer_diameter, model.inner_diameter,
                                  PressureSpread::uniform_wear)),
          bedding_(friction_radius(model.outer_diameter, model.inner_diameter,
                                   PressureSpread::uniform_pressure)),
          warm_(model.friction_at(settings.warm)),
          hot_(model.friction_at(settings.hot)) {}

    [[nodiscard]] double at(double load, double friction) const {
        return torque_capacity(model_.faces, friction, load, run_in_);
    }
    [[nodiscard]] double warm(double load) const { return at(load, warm_); }
    [[nodiscard]] double hot(double load) const { return at(load, hot_); }
    [[nodiscard]] double bedding(double load) const {
        return torque_capacity(model_.faces, warm_, load, bedding_);
    }
    /// Load and friction at the low end of their tolerances, as independent ones.
    [[nodiscard]] double hot_low(double load, double low) const {
        const double load_share = load > 0.0 ? 1.0 - low / load : 0.0;
        const double friction_share = model_.friction_tolerance / model_.friction;
        return hot(load) * std::max(1.0 - std::hypot(load_share, friction_share), 0.0);
    }

  private:
    const ClutchModel& model_;
    double run_in_, bedding_, warm_, hot_;
};

/// The least lift that lets the discs turn freely, all losses included [m].
double needed_lift(const ClutchModel& model) {
    return model.discs * (model.free_movement + std::max(model.runout - model.runout_limit, 0.0));
}

/// Bearing travel for a plate lift that is left after what is lost; not a number if twice the
/// travel that there is does not do.
double travel_for(const ClutchModel& model, const ClampedCover& cover, double least_lift) {
    const double lift = least_lift + model.lost_lift + 0.5 * model.parallelism;
    if (at_travel(cover, 2.0 * model.travel).lift < lift) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    return at_lift(cover, lift).travel;
}

CoverState state_at(const ClutchModel& model, const CoverSettings& settings,
                    const std::string& name, double wear) {
    const Capacities capacities(model, settings);
    const ClampedCover cover = model.worn_by(wear);
    CoverState state;
    state.name = name;
    state.wear = wear;
    state.deflection = cover.deflection;
    state.clamp_load = plate_load_under(cover, model.bearing_preload);
    const LoadBand band = load_band(cover.spring, cover.deflection, model.tolerance);
    const double lost = band.nominal - state.clamp_load;  // what rests on the bearing
    state.root_sum_low = band.root_sum_low - lost;
    state.root_sum_high = band.root_sum_high - lost;
    state.worst_low = band.worst_low - lost;
    state.worst_high = band.worst_high - lost;
    state.pressure = state.clamp_load / facing_area(model.outer_diameter, model.inner_diameter);
    state.capacity = capacities.warm(state.clamp_load);
    state.capacity_bedding = capacities.bedding(state.clamp_load);
    state.capacity_hot = capacities.hot(state.clamp_load);
    state.capacity_hot_low = capacities.hot_low(state.clamp_load, state.root_sum_low);

    for (const ReleasePoint& point : release_curve(cover, model.travel, release_points)) {
        state.largest_bearing_load = std::max(state.largest_bearing_load, point.bearing_load);
    }
    const double free = cover.cushion.deflection(spring_load(cover.spring, cover.deflection));
    const ReleasePoint freed = at_lift(cover, free);
    if (freed.travel <= model.travel) {
        state.largest_bearing_load = std::max(state.largest_bearing_load, freed.bearing_load);
    }
    const ReleasePoint full = at_travel(cover, model.travel);
    state.bearing_load = full.bearing_load;
    state.lift = full.lift;
    state.least_lift = full.lift - model.lost_lift - 0.5 * model.parallelism;
    state.clearance = (state.least_lift - free) / model.discs;
    state.margin = state.least_lift - needed_lift(model);
    state.free_travel = freed.travel;
    state.needed_travel = travel_for(model, cover, needed_lift(model));
    // Fingers turn about the pivot as the plate follows the wear, the other way than in a release.
    state.finger_shift = (model.clamped_new.deflection - cover.deflection) * cover.lever;
    return state;
}

void add_curves(CoverRecord& record, const ClutchModel& model, const CoverSettings& settings) {
    const Capacities capacities(model, settings);
    const DiaphragmSpring& spring = model.clamped_new.spring;
    const double longest =
        std::max(model.clamped_new.deflection + 1.15 * model.travel / model.clamped_new.lever,
                 1.05 * flat_deflection(spring));
    for (int n = 0; n < spring_points; ++n) {
        const double deflection = longest * n / (spring_points - 1);
        record.spring.push_back({deflection, spring_load(spring, deflection)});
    }
    // A quarter beyond the allowance: what comes after it should be seen.
    for (int n = 0; n < wear_points; ++n) {
        CoverWearPoint point;
        point.wear = 1.25 * model.wear_allowance * n / (wear_points - 1);
        const ClampedCover cover = model.worn_by(point.wear);
        const LoadBand band = load_band(cover.spring, cover.deflection, model.tolerance);
        point.deflection = cover.deflection;
        point.clamp_load = plate_load_under(cover, model.bearing_preload);
        const double lost = band.nominal - point.clamp_load;
        point.root_sum_low = band.root_sum_low - lost;
        point.root_sum_high = band.root_sum_high - lost;
        point.worst_low = band.worst_low - lost;
        point.worst_high = band.worst_high - lost;
        point.capacity = capacities.warm(point.clamp_load);
        point.capacity_hot = capacities.hot(point.clamp_load);
        record.wear.push_back(point);
    }
    for (const CoverState& state : record.states) {
        CoverReleaseCurve curve{state.name, {}};
        for (const ReleasePoint& p :
             release_curve(model.worn_by(state.wear), 1.15 * model.travel, release_points)) {
            curve.points.push_back(
                {p.travel, p.bearing_load, p.lift, p.plate_load, capacities.warm(p.plate_load)});
        }
        record.release_curves.push_back(std::move(curve));
    }
}

void add_temperatures(CoverRecord& record, const ClutchModel& model,
                      const CoverSettings& settings) {
    const Capacities capacities(model, settings);
    for (const double degrees : {20.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 350.0}) {
        CoverTemperaturePoint point;
        point.temperature = degrees + celsius;
        point.friction = model.friction_at(point.temperature);
        point.capacity_new = capacities.at(record.states.front().clamp_load, point.friction);
        point.capacity_worn = capacities.at(record.states.back().clamp_load, point.friction);
        record.temperatures.push_back(point);
    }
}

/// What common faults would make of this clutch: each one alone, from the state described.
void add_cases(CoverRecord& record, const ClutchModel& model, const CoverSettings& settings) {
    const auto add = [&](std::string name, const ClutchModel& changed) {
        const CoverState fresh = state_at(changed, settings, "new", 0.0);
        const CoverState worn = state_at(changed, settings, "worn", model.wear_allowance);
        record.cases.push_back({std::move(name), fresh.clamp_load, fresh.capacity / record.torque,
                                worn.capacity / record.torque, worn.largest_bearing_load,
                                fresh.clearance, fresh.margin});
    };
    add("as described", model);
    const double ground = 0.5e-3;  // a regrind as it is met; common practice, no source
    ClutchModel deeper = model;
    deeper.clamped_new.deflection = std::max(deeper.clamped_new.deflection - ground, 0.0);
    add("rubbing face 0.5 mm ground, cover face not", deeper);
    ClutchModel higher = model;
    higher.clamped_new.deflection += ground;
    add("cover face 0.5 mm ground, rubbing face not", higher);
    ClutchModel bent = model;
    bent.parallelism += 0.5e-3;
    add("cover bent: parallelism 0.5 mm more", bent);
    ClutchModel lost = model;
    lost.lost_lift += 0.3e-3;
    add("0.3 mm of lift lost: bent cover, fingers", lost);
    ClutchModel set = model;
    set.clamped_new.spring.factor *= 0.9;
    add("spring set by heat: 10 % of its load lost", set);
}

}  // namespace

CoverRecord study_cover(const Scenario& scenario, const CoverSettings& settings) {
    const Vehicle& vehicle = scenario.vehicle;
    const ClutchModel model = clutch_model(vehicle);
    CoverRecord record;
    record.identity = identity_of(scenario, "clamp, wear and release", settings.command_line);
    record.cover = vehicle.cover->title;
    record.facing = vehicle.facing->title;
    record.release = vehicle.cover->release;
    record.torque = settings.torque > 0.0 ? settings.torque : vehicle.engine.peak_torque.si();
    record.warm = settings.warm;
    record.hot = settings.hot;
    record.friction_warm = model.friction_at(settings.warm);
    record.friction_hot = model.friction_at(settings.hot);
    record.discs = model.discs;
    record.lever = model.clamped_new.lever;
    record.travel = model.travel;
    record.needed_lift = needed_lift(model);
    record.wear_allowance = model.wear_allowance;
    record.set_shift = model.set_shift;
    record.flat_deflection = flat_deflection(model.clamped_new.spring);

    record.states.push_back(state_at(model, settings, "new", 0.0));
    if (model.wear_now > 0.0 && model.wear_now < model.wear_allowance) {
        record.states.push_back(state_at(model, settings, "now", model.wear_now));
    }
    record.states.push_back(state_at(model, settings, "worn", model.wear_allowance));

    const double load_needed =
        record.torque / torque_capacity(model.faces, record.friction_warm, 1.0,
                                        friction_radius(model.outer_diameter, model.inner_diameter,
                                                        PressureSpread::uniform_wear)) +
        model.clamped_new.lever * model.bearing_preload;
    const double way =
        wear_until(model.clamped_new.spring, model.clamped_new.deflection, load_needed);
    record.slip_wear =
        model.follows > 0.0 ? way / model.follows : std::numeric_limits<double>::infinity();
    if (way == 0.0) record.slip_wear = 0.0;
    if (model.pedal_ratio > 0.0 && model.efficiency > 0.0) {
        for (const CoverState& state : record.states) {
            record.pedal_force =
                std::max(record.pedal_force,
                         state.largest_bearing_load / (model.pedal_ratio * model.efficiency));
        }
    }
    add_curves(record, model, settings);
    add_temperatures(record, model, settings);
    add_cases(record, model, settings);
    if (settings.clamp) record.comparisons.push_back(compare_clamp(model, *settings.clamp));
    if (settings.release) {
        for (CoverComparison& one : compare_release(model, *settings.release)) {
            record.comparisons.push_back(std::move(one));
        }
    }
    for (const CoverComparison& one : record.comparisons) {
        record.identity.inputs.emplace_back(one.file, one.sha256);
    }
    record.figures = cover_figures(record, model);
    record.verdict = judge_cover(record.identity.vehicle_class, record.figures);
    return record;
}

}  // namespace damper
