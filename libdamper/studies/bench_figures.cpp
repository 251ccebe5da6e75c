// SPDX-License-Identifier: MIT
#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

// Shares of the reference torque: about the middle, where idle stages end at the latest, in the
// main stage, and beyond what the engine gives, where a stop shows.
constexpr double touch = 0.002, low = 0.02, begin = 0.1, main_drive = 0.6, beyond = 1.2;
constexpr double main_coast = 0.3, beyond_coast = 0.5;

/// Place on a rising curve where it first gets to `torque`, straight between points.
double twist_at(const std::vector<double>& twist, const std::vector<double>& torques,
                double torque) {
    if (torques.empty() || torques.front() > torque || torques.back() < torque) return none;
    const auto above = std::ranges::lower_bound(torques, torque);
    const auto i = static_cast<std::size_t>(above - torques.begin());
    if (i == 0) return twist.front();
    const double rise = torques[i] - torques[i - 1];
    const double share = rise > 0.0 ? (torque - torques[i - 1]) / rise : 0.0;
    return std::lerp(twist[i - 1], twist[i], share);
}

double value_at(const std::vector<double>& twist, const std::vector<double>& values, double place) {
    if (!std::isfinite(place) || place < twist.front() || place > twist.back()) return none;
    const auto above = std::ranges::lower_bound(twist, place);
    const auto i = static_cast<std::size_t>(above - twist.begin());
    if (i == 0) return values.front();
    return std::lerp(values[i - 1], values[i], (place - twist[i - 1]) / (twist[i] - twist[i - 1]));
}

}  // namespace

const std::vector<BenchReach>& disc_bench_reaches() {
    static const std::vector<BenchReach> all{
        {"disc_play", touch, touch},           {"disc_idle_width", low, low},
        {"disc_idle_twist", low, low},         {"disc_main_twist", main_drive, 0.0},
        {"disc_main_width", main_drive, 0.0},  {"disc_drive_reach", beyond, 0.0},
        {"disc_coast_twist", 0.0, main_coast}, {"disc_coast_reach", 0.0, beyond_coast},
    };
    return all;
}

std::vector<MeasureValue> disc_bench_figures(const DiscLoop& loop, double reference) {
    const std::size_t count = loop.twist.size();
    std::vector<double> middle(count), width(count);
    for (std::size_t i = 0; i < count; ++i) {
        middle[i] = 0.5 * (loop.upward[i] + loop.downward[i]);
        width[i] = loop.upward[i] - loop.downward[i];
        // Rounding must not make the curve fall: it is searched.
        if (i > 0) middle[i] = std::max(middle[i], middle[i - 1]);
    }
    std::vector<double> rising = loop.upward;
    for (std::size_t i = 1; i < count; ++i) rising[i] = std::max(rising[i], rising[i - 1]);
    const auto at = [&](double share) { return twist_at(loop.twist, middle, share * reference); };
    const auto rising_at = [&](double share) {
        return twist_at(loop.twist, rising, share * reference);
    };
    std::vector<MeasureValue> out;
    const auto add = [&](const char* name, const char* units, double value, const char* what) {
        out.push_back({name, units, what, Better::neither, value});
    };
    add("disc_play", "rad", rising_at(touch) - rising_at(-touch),
        "twist while the torque rises through zero, from -0.2 to 0.2 % of the engine's largest");
    add("disc_idle_width", "N.m", value_at(loop.twist, width, 0.5 * (at(low) + at(-low))),
        "width of the loop in the middle of the idle range");
    add("disc_idle_twist", "rad", at(low) - at(-low),
        "twist from -2 to 2 % of the engine's largest torque, between the branches");
    add("disc_main_twist", "rad", at(main_drive) - at(begin),
        "twist from 10 to 60 % of the engine's largest torque, between the branches");
    add("disc_main_width", "N.m", value_at(loop.twist, width, at(main_drive)),
        "width of the loop at 60 % of the engine's largest torque");
    add("disc_drive_reach", "rad", at(beyond),
        "twist at 120 % of the engine's largest torque, between the branches");
    add("disc_coast_twist", "rad", at(0.0) - at(-main_coast),
        "twist from zero to 30 % of the engine's largest torque on the coast side");
    add("disc_coast_reach", "rad", -at(-beyond_coast),
        "twist at 50 % of the engine's largest torque on the coast side");
    return out;
}

std::vector<MeasureValue> press_figures(const Scenario& scenario) {
    if (!scenario.vehicle.cover || !scenario.vehicle.facing) return {};
    Scenario alone;
    alone.name = scenario.name;
    alone.vehicle = scenario.vehicle;
    alone.vehicle.release.bearing_preload = Force::from_si(0.0);  // nothing rests on the fingers
    const CoverRecord record = study_cover(alone, {});
    std::vector<MeasureValue> out = record.figures;
    const ClutchModel model = clutch_model(alone.vehicle);
    out.push_back({"spring_deflection", "m",
                   "deflection of the diaphragm spring, clamped with new facings: what the height "
                   "of the fingers shows",
                   Better::neither, record.states.front().deflection});
    out.push_back({"facing_wear", "m", "wear of a face, from the thickness of the disc",
                   Better::neither, model.wear_now});
    return out;
}

std::vector<std::pair<std::string, std::string>> known_workshop_figures() {
    std::vector<std::pair<std::string, std::string>> out{{"torque_held", "N.m"},
                                                         {"torque_held_hot", "N.m"},
                                                         {"spring_deflection", "m"},
                                                         {"facing_wear", "m"}};
    // What a vehicle of every kind would give: with mounts, starter, gears.
    Scenario any;
    any.vehicle.gearbox.gears.resize(1);
    any.vehicle.mounts.emplace();
    any.vehicle.cover.emplace();
    any.vehicle.engine.starter_torque = Torque::from_si(1.0);
    any.vehicle.gearbox.oil.viscosity_40 = KinematicViscosity::from_si(1e-4);
    any.vehicle.gearbox.oil.viscosity_100 = KinematicViscosity::from_si(1e-5);
    any.conditions.gearbox_oil = Temperature::from_si(313.15);
    for (const Manoeuvre& manoeuvre : {Manoeuvre(Pull()), Manoeuvre(TipIn())}) {
        any.manoeuvre = manoeuvre;
        for (const MeasureValue& one : gauge_figures(any)) {
            const std::pair<std::string, std::string> name{one.name, one.units};
            if (std::ranges::find(out, name) == out.end()) out.push_back(name);
        }
    }
    const DiscLoop line{
        .twist = {-1.0, 1.0}, .upward = {-1.0, 1.0}, .downward = {-1.0, 1.0}, .corners = {}};
    for (const MeasureValue& one : disc_bench_figures(line, 1.0)) {
        out.emplace_back(one.name, one.units);
    }
    return out;
}

std::vector<MeasureValue> held_figures(const Scenario& scenario) {
    const Vehicle& vehicle = scenario.vehicle;
    if (!vehicle.cover || !vehicle.facing) return {};
    Scenario alone;
    alone.name = scenario.name;
    alone.vehicle = vehicle;
    const CoverRecord record = study_cover(alone, {});
    // The states are new, now if the facings are partly worn, and worn by all they may.
    const double wear = clutch_model(vehicle).wear_now;
    const CoverState* now = &record.states.front();
    for (const CoverState& state : record.states) {
        if (std::abs(state.wear - wear) < std::abs(now->wear - wear)) now = &state;
    }
    const double engine = largest_torque(vehicle.engine);
    const auto of = [&](const char* name, double capacity, const char* what) {
        return MeasureValue{name, "N.m", what, Better::neither, std::min(capacity, engine)};
    };
    return {of("torque_held", now->capacity,
               "torque at which the warm clutch begins to slip, or the engine's largest"),
            of("torque_held_hot", now->capacity_hot,
               "torque at which the hot clutch begins to slip, or the engine's largest")};
}

}  // namespace damper
