// SPDX-License-Identifier: MIT
#include "libdamper/studies/cover_figures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

/// The least load of the spring between clamped and full release, over the clamp load.
double load_left(const ClutchModel& model, const CoverState& state) {
    const DiaphragmSpring& spring = model.clamped_new.spring;
    const double end = state.deflection + state.lift;
    double least = std::min(spring_load(spring, state.deflection), spring_load(spring, end));
    const LoadExtremes extremes = load_extremes(spring);
    if (extremes.exist && extremes.lowest > state.deflection && extremes.lowest < end) {
        least = std::min(least, spring_load(spring, extremes.lowest));
    }
    return state.clamp_load > 0.0 ? least / state.clamp_load : 0.0;
}

}  // namespace

std::vector<MeasureValue> cover_figures(const CoverRecord& record, const ClutchModel& model) {
    std::vector<MeasureValue> figures;
    const auto add = [&](std::string name, std::string units, Better better, double value,
                         std::string definition) {
        figures.push_back(
            {std::move(name), std::move(units), std::move(definition), better, value});
    };
    const CoverState& fresh = record.states.front();
    const CoverState& worn = record.states.back();
    add("capacity_factor_new", "1", Better::more, fresh.capacity / record.torque,
        "torque held with new facings, warm, uniform wear, over the torque asked for");
    if (model.wear_now > 0.0) {
        const CoverState& now = record.states[1];  // all of the allowance is "worn"
        add("capacity_factor_now", "1", Better::more, now.capacity / record.torque,
            "torque held with the facings as they are, warm, over the torque asked for");
    }
    add("capacity_factor_worn_hot", "1", Better::more, worn.capacity_hot / record.torque,
        "torque held with facings worn by all they may, hot, over the torque asked for");
    add("capacity_factor_worn_hot_low", "1", Better::more, worn.capacity_hot_low / record.torque,
        "the same with spring and friction at the low end of their tolerances, as the root of the "
        "sum of squares");
    if (model.follows > 0.0) {
        const double life = std::min(record.slip_wear, model.wear_allowance);
        add("wear_left", "1", Better::more, (life - model.wear_now) / model.wear_allowance,
            "wear until the clutch slips warm or the allowance is used up, over the allowance");
        add("wear_held", "1", Better::more, record.slip_wear / model.wear_allowance,
            "wear at which the warm clutch no longer holds the torque, over the allowance");
    } else {
        add("wear_left", "1", Better::more, 1.0 - model.wear_now / model.wear_allowance,
            "wear until the allowance is used up, over the allowance; the cover adjusts itself");
    }
    add("facing_pressure", "Pa", Better::less, std::max(fresh.pressure, worn.pressure),
        "clamp load over the area of a facing, the larger of new and worn");
    for (const CoverState* state : {&fresh, &worn}) {
        add("disc_clearance_" + state->name, "m", Better::more, state->clearance,
            "lift at its worst place at full travel, less what the cushion springs back, per disc");
        add("release_margin_" + state->name, "m", Better::more, state->margin,
            "lift at its worst place at full travel, less free movement and runout beyond its "
            "limit");
    }
    add("lift_parallelism", "m", Better::less, model.parallelism,
        "largest less smallest lift around the plate");
    add("disc_runout", "m", Better::less, model.runout, "lateral runout of the disc");
    add("load_left_at_release", "1", Better::more,
        std::min(load_left(model, fresh), load_left(model, worn)),
        "least spring load between clamped and full release over the clamp load, new or worn");
    for (const CoverComparison& one : record.comparisons) {
        std::string name = one.what;
        std::replace(name.begin(), name.end(), ' ', '_');
        add(name + "_deviation", "1", Better::less, std::abs(one.largest),
            "largest deviation of the measured from the computed curve");
        add(name + "_mean_deviation", "1", Better::neither, one.mean,
            "mean deviation of the measured from the computed curve");
    }
    const auto tell = [&](std::string name, std::string units, double value, std::string what) {
        add(std::move(name), std::move(units), Better::neither, value, std::move(what));
    };
    tell("clamp_load_new", "N", fresh.clamp_load, "clamp load with new facings");
    tell("clamp_load_worn", "N", worn.clamp_load, "clamp load with facings worn by all they may");
    tell("slip_wear", "m", record.slip_wear,
         "wear per face at which the warm clutch no longer holds the torque");
    tell("wear_allowance", "m", record.wear_allowance, "wear that a face may have");
    tell("travel", "m", record.travel, "travel of the release bearing at full pedal");
    const bool ever = std::isfinite(fresh.needed_travel) && std::isfinite(worn.needed_travel);
    tell("needed_travel", "m",
         ever ? std::max(fresh.needed_travel, worn.needed_travel)
              : std::numeric_limits<double>::quiet_NaN(),
         "bearing travel from which the disc turns freely, new or worn");
    tell("set_shift", "m", record.set_shift, "deflection of the spring gained by grinding");
    tell("runout_excess", "m", std::max(model.runout - model.runout_limit, 0.0),
         "runout beyond its limit");
    tell("lost_lift", "m", model.lost_lift, "lift lost in the cover");
    if (!model.free_movement_stated) {
        tell("free_movement_assumed", "m", model.free_movement, "usual free movement of the class");
    }
    return figures;
}

}  // namespace damper
