// SPDX-License-Identifier: MIT
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

/// The engaged gear; in neutral the lowest one that drives forwards.
const GearPair* gear_in_hand(const Scenario& scenario) {
    const std::string engaged = gear_of(scenario.manoeuvre);
    const GearPair* out = nullptr;
    for (const GearPair& gear : scenario.vehicle.gearbox.gears) {
        if (!engaged.empty() && gear.name == engaged) return &gear;
        const bool forwards = !gear.name.starts_with("R");
        if (forwards && (out == nullptr || gear.ratio.si() > out->ratio.si())) out = &gear;
    }
    return out;
}

/// Deceleration of the input shaft at a speed with everything that turns with it in neutral [1/s²].
double run_down(const Gearbox& gearbox, double temperature, double hub_inertia, double speed) {
    double inertia = gearbox.input_inertia.si() + hub_inertia;
    double torque = shaft_drag(gearbox, temperature).at(speed);
    for (const GearPair& gear : gearbox.gears) {
        if (!turns_in_neutral(gear)) continue;
        const double ratio = gear.ratio.si();
        inertia += gear.loose_inertia.si() / (ratio * ratio);
        torque += loose_gear_drag(gearbox, gear, temperature).at(speed / ratio) / ratio;
    }
    return torque / inertia;
}

/// Play of the driveline at the wheel with a gear engaged and the engine held [rad].
double lash_at_wheel(const Vehicle& vehicle, const GearPair& gear) {
    const double final_drive = vehicle.axle.final_drive.si();
    const double teeth = gear.backlash.si() / gear.pitch_radius.si();
    const double gearbox = gear.loose_on == "input shaft" ? teeth / gear.ratio.si() : teeth;
    const double spline = vehicle.disc.spline_play.si() / gear.ratio.si();
    return vehicle.axle.lash.si() + (gearbox + spline) / final_drive;
}

/// Roll of the power unit under the engine's largest torque in a gear [rad], its play included.
double roll_under(const Mounts& mounts, double shaft_torque) {
    const double stiffness = mounts.roll_stiffness.si() * mounts.stiffness_factor.si();
    const double free = 0.5 * mounts.free_play.si() +
                        mounts.torque_share.si() * shaft_torque / std::max(stiffness, 1e-9);
    const double stop = mounts.drive_stop.si();
    return stop > 0.0 ? std::min(free, stop) : free;
}

double weakest(const std::vector<Ratio>& gains) {
    double least = 1.0, sum = 0.0;
    for (const Ratio& gain : gains) {
        least = std::min(least, gain.si());
        sum += gain.si();
    }
    return gains.empty() ? 1.0 : least * static_cast<double>(gains.size()) / sum;
}

class Figures {
  public:
    void add(const char* name, const char* units, double value, const char* definition) {
        all_.push_back({name, units, definition, Better::neither, value});
    }
    [[nodiscard]] std::vector<MeasureValue> take() { return std::move(all_); }

  private:
    std::vector<MeasureValue> all_;
};

void add_way_of_driving(const Scenario& scenario, Figures& out) {
    if (const SpeedRun* run = speed_run_of(scenario.manoeuvre)) {
        out.add("lowest_speed_under_load", "rad/s", std::min(run->from.si(), run->to.si()),
                "lowest engine speed at which this load is driven, as recorded on the road");
    }
    if (const TorqueChange* change = torque_change_of(scenario.manoeuvre)) {
        out.add("torque_rise_time", "s", change->rise.si() + change->lag.si(),
                "time in which the engine's torque follows the pedal, from the engine's data");
    }
}

void add_speeds(const Scenario& scenario, Figures& out) {
    const Engine& engine = scenario.vehicle.engine;
    const auto* idle = std::get_if<Idle>(&scenario.manoeuvre);
    const bool own = idle == nullptr || !(idle->speed.si() > 0.0);
    out.add("engine_idle_speed", "rad/s", own ? engine.idle_speed.si() : idle->speed.si(),
            "mean speed at idle, from a tachometer or a recording");
    double consumers = 0.0;
    if (idle != nullptr) consumers = idle->consumers.si();
    if (const auto* creep = std::get_if<Creep>(&scenario.manoeuvre)) {
        consumers = creep->consumers.si();
    }
    out.add(
        "consumers_torque", "N.m", consumers,
        "load of alternator, pumps and compressor at the crankshaft, from current and pressure");
    if (engine.starter_torque.si() > 0.0) {
        const double slack = 1.0 - engine.friction_torque.si() / engine.starter_torque.si();
        out.add("cranking_speed", "rad/s", engine.starter_speed.si() * std::max(slack, 0.0),
                "speed at which the starter turns the engine when it does not fire");
    }
}

}  // namespace

double largest_torque(const Engine& engine) {
    double out = engine.full_load.empty() ? engine.peak_torque.si() : 0.0;
    for (const TorquePoint& point : engine.full_load) out = std::max(out, point.torque.si());
    return out;
}

std::vector<MeasureValue> gauge_figures(const Scenario& scenario) {
    const Vehicle& vehicle = scenario.vehicle;
    Figures out;
    add_speeds(scenario, out);
    out.add("weakest_cylinder", "1", weakest(vehicle.engine.cylinder_gains),
            "torque of the weakest cylinder over the mean, from the flywheel's speed at idle");
    out.add("full_load_torque", "N.m", largest_torque(vehicle.engine),
            "largest torque of the engine, from a roller bench");
    out.add("mass_as_driven", "kg", vehicle.body.mass.si(),
            "mass of the vehicle as it is used, from a weighbridge");
    const double oil = scenario.conditions.gearbox_oil.si();
    out.add("input_run_down", "rad/s2",
            run_down(vehicle.gearbox, oil, vehicle.disc.hub_inertia.si(),
                     vehicle.engine.idle_speed.si()),
            "deceleration of the input shaft from idle speed with the pedal down, in neutral");
    if (const GearPair* gear = gear_in_hand(scenario)) {
        const double ratio = gear->ratio.si() * vehicle.axle.final_drive.si();
        out.add("engine_per_road_speed", "rad/m", ratio / vehicle.tyre.rolling_radius.si(),
                "engine speed over road speed in the gear of the run, the clutch closed");
        out.add("lash_at_wheel", "rad", lash_at_wheel(vehicle, *gear),
                "free turn of a driven wheel with that gear engaged and the engine held");
        if (vehicle.mounts) {
            out.add(
                "engine_roll", "rad",
                roll_under(*vehicle.mounts, vehicle.engine.peak_torque.si() * ratio),
                "roll of the engine when the driven wheels are held and it pulls, in that gear");
        }
    }
    if (vehicle.release.bearing_travel.si() > 0.0 || vehicle.cover) {
        const double own = vehicle.release.bearing_travel.si();
        out.add("bearing_travel", "m", own > 0.0 ? own : vehicle.cover->rated_travel.si(),
                "travel of the release bearing at full pedal");
    }
    out.add("bearing_force_pedal_up", "N", vehicle.release.bearing_preload.si(),
            "force on the release bearing with the pedal up");
    add_way_of_driving(scenario, out);
    return out.take();
}

}  // namespace damper
