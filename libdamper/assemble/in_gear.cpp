// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_side.hpp"
#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace damper {

namespace {

constexpr double gravity = 9.80665;  // m/s², standard value
constexpr double air_density = 1.2;  // kg/m³ at about 20 °C
constexpr double axle_give = 1e-3;   // rad that the axle's friction gives before it slips
constexpr int driven_wheels = 2;

/// The driveline from the gearbox output on, as it grows.
struct Path {
    Assembled out;
    const Vehicle& vehicle;
    const GearPair& gear;
    double oil = 0.0;  ///< Temperature in the gearbox [K].
    int output = 0;    ///< Inertia of the gearbox output.
    int pinion = 0;    ///< Inertia that drives the final drive.
    double wheel_speed = 0.0;
    double slip_speed = 0.0;  ///< Of the wheel, about which tyre slip is linear [rad/s].

    Driveline& line() { return out.line; }
    /// Sense of the gearbox output against the input, as they turn in the housing: a final drive in
    /// the gearbox is driven by a shaft that turns the other way.
    [[nodiscard]] double output_sense() const {
        return vehicle.axle.propshaft_stiffness.si() > 0.0 ? 1.0 : -1.0;
    }
    [[nodiscard]] double inertia(int mass) const {
        return out.line.masses[static_cast<std::size_t>(mass)].inertia;
    }
};

const GearPair& gear_by_name(const Gearbox& gearbox, const std::string& name) {
    const auto found = std::find_if(gearbox.gears.begin(), gearbox.gears.end(),
                                    [&](const GearPair& g) { return g.name == name; });
    if (found == gearbox.gears.end()) {
        throw InputError("the gearbox has no gear \"" + name + "\"");
    }
    return *found;
}

/// Gearbox: the engaged pair carries the torque, every other loose gear turns along.
void add_gearbox(Path& path, double engine_speed) {
    const Gearbox& gearbox = path.vehicle.gearbox;
    Assembled& out = path.out;
    const bool on_output = turns_in_neutral(path.gear);
    const double ratio = path.gear.ratio.si();
    // An engaged gear is one with its shaft.
    const double engaged = path.gear.loose_inertia.si();
    if (!on_output) {
        out.line.masses[static_cast<std::size_t>(out.input_shaft)].inertia += engaged;
    }
    path.output =
        add_mass(out.line, "gearbox output",
                 gearbox.output_inertia.si() + (on_output ? engaged : 0.0), engine_speed / ratio);
    // Both shafts turn in the power unit: when that turns by φ, they are φ behind in its frame.
    const double sense = path.output_sense();
    const std::vector<RowEntry> row =
        on_output ? in_power_unit(out, {{out.input_shaft, 1.0 / ratio}, {path.output, -1.0}},
                                  sense - 1.0 / ratio)
                  : in_power_unit(out, {{out.input_shaft, 1.0}, {path.output, -ratio}},
                                  sense * ratio - 1.0);
    const int mesh = add_element(out.line, "gear " + path.gear.name + " engaged", "lash", row,
                                 tooth_contact(gearbox, path.gear));
    out.loaded_lashes.push_back({.branch = mesh,
                                 .to_input = on_output ? ratio : 1.0,
                                 .gap = path.gear.backlash.si() / path.gear.pitch_radius.si()});
    out.gear_path.emplace_back("gear " + path.gear.name, ratio);

    add_element(out.line, "input shaft drag", "drag", {{out.input_shaft, 1.0}},
                drag_law(shaft_drag(gearbox, path.oil)));
    for (const GearPair& other : gearbox.gears) {
        if (other.name == path.gear.name) continue;
        const double own = other.ratio.si();
        if (turns_in_neutral(other)) {
            add_loose_gear(out, path.vehicle, other, out.input_shaft, 1.0 / own, 1.0 / own,
                           path.oil);
        } else {
            // Driven backwards through its fixed partner on the output shaft.
            add_loose_gear(out, path.vehicle, other, path.output, own, own / ratio, path.oil);
        }
    }
}

void add_propshaft(Path& path) {
    const Axle& axle = path.vehicle.axle;
    path.pinion = path.output;
    if (!(axle.propshaft_stiffness.si() > 0.0)) return;
    const double k = axle.propshaft_stiffness.si();
    const double speed = path.line().masses[static_cast<std::size_t>(path.output)].reference_speed;
    path.pinion = add_mass(path.line(), "pinion", axle.propshaft_inertia.si(), speed);
    // The loss factor is met at the frequency of the shuffle against a standing vehicle.
    const double total = path.gear.ratio.si() * axle.final_drive.si();
    const double wheel_side = 2.0 * axle.half_shaft_stiffness.si();
    double engine = path.inertia(path.out.engine);
    if (path.out.flywheel >= 0) engine += path.inertia(path.out.clutch_side);
    const double shuffle = std::sqrt(wheel_side / (engine * total * total));
    add_element(path.line(), "propshaft", "shaft", {{path.output, 1.0}, {path.pinion, -1.0}},
                linear_spring(k, axle.propshaft_loss_factor.si() * k / shuffle));
}

/// Final drive with an open differential: the pinion turns with the mean of both sides, which get
/// equal torque. The crown wheel and cage are shared out to the two sides.
void add_axle(Path& path, double engine_speed) {
    const Axle& axle = path.vehicle.axle;
    Driveline& line = path.line();
    const double ratio = axle.final_drive.si();
    path.wheel_speed = engine_speed / (path.gear.ratio.si() * ratio);
    const double side_inertia = axle.differential_inertia.si() / driven_wheels;
    const int left = add_mass(line, "differential left", side_inertia, path.wheel_speed);
    const int right = add_mass(line, "differential right", side_inertia, path.wheel_speed);
    const double k = axle.mesh_stiffness.si();
    const double smaller =
        std::min(path.inertia(path.pinion) * ratio * ratio, axle.differential_inertia.si());
    // In a gearbox that holds the final drive the wheels turn as the engine does; an axle of its
    // own does not roll with the power unit.
    const double sense = path.output_sense();
    const int mesh = add_element(
        line, "final drive", "differential",
        in_power_unit(path.out, {{path.pinion, 1.0 / ratio}, {left, -0.5}, {right, -0.5}},
                      sense < 0.0 ? 1.0 - sense / ratio : 0.0),
        lash({.gap = axle.lash.si(),
              .stiffness = k,
              .damping = 2.0 * axle.mesh_damping.si() * std::sqrt(k * smaller)}));
    path.out.loaded_lashes.push_back(
        {.branch = mesh, .to_input = path.gear.ratio.si() * ratio, .gap = axle.lash.si()});
    path.out.gear_path.emplace_back("final drive", ratio);
}

/// Half shaft, wheel, tyre and its grip on the road, of one side.
void add_wheel(Path& path, const std::string& side, int vehicle_mass) {
    const Axle& axle = path.vehicle.axle;
    const Tyre& tyre = path.vehicle.tyre;
    Driveline& line = path.line();
    const int inner = line.mass("differential " + side);
    const int rim = add_mass(line, "wheel " + side, tyre.rim_inertia.si(), path.wheel_speed);
    const int belt = add_mass(line, "tyre " + side, tyre.belt_inertia.si(), path.wheel_speed);
    path.out.drive_shafts.push_back(
        add_element(line, "half shaft " + side, "shaft", {{inner, 1.0}, {rim, -1.0}},
                    linear_spring(axle.half_shaft_stiffness.si(), axle.half_shaft_damping.si())));
    add_element(line, "tyre carcass " + side, "tyre", {{rim, 1.0}, {belt, -1.0}},
                linear_spring(tyre.carcass_stiffness.si(), tyre.carcass_damping.si()));
    if (axle.drag.si() > 0.0) {
        const double limit = axle.drag.si() / driven_wheels;
        add_element(line, "axle drag " + side, "drag", {{rim, 1.0}},
                    slider({.limit = limit, .grip = limit / axle_give}));
    }
    const double r = tyre.rolling_radius.si();
    const std::vector<RowEntry> row = {{belt, 1.0}, {vehicle_mass, -1.0}};
    if (tyre.grip.si() > 0.0) {
        const Body& body = path.vehicle.body;
        const double load = body.driven_load_share.si() * body.mass.si() * gravity / driven_wheels;
        line.smooth.push_back({.name = "tyre slip " + side,
                               .row = row,
                               .reference = vehicle_mass,
                               .law = TyreSlip{.slip_stiffness = tyre.slip_stiffness.si(),
                                               .grip = tyre.grip.si() * load,
                                               .radius = r}});
    } else {
        // Linear in slip about one speed: C·r²/v.
        const double v = std::max(r * path.slip_speed, TyreSlip{}.lowest_speed);
        add_element(line, "tyre slip " + side, "tyre slip", row,
                    linear_spring(0.0, tyre.slip_stiffness.si() * r * r / v));
    }
}

void add_vehicle(Path& path, const Conditions& conditions, bool road_load) {
    const Body& body = path.vehicle.body;
    const double r = path.vehicle.tyre.rolling_radius.si();
    const int mass = add_mass(path.line(), "vehicle", body.mass.si() * r * r, path.wheel_speed);
    path.out.vehicle = mass;
    path.out.rolling_radius = r;
    const double slope = std::atan(conditions.grade.si());
    const double weight = body.mass.si() * gravity;
    if (!road_load) {
        add_wheel(path, "left", mass);
        add_wheel(path, "right", mass);
        return;
    }
    path.line().smooth.push_back(
        {.name = "road load",
         .row = {{mass, 1.0}},
         .reference = mass,
         .law = RoadLoad{
             .rolling = path.vehicle.tyre.rolling_resistance.si() * weight * std::cos(slope) * r,
             .grade = weight * std::sin(slope) * r,
             .air = 0.5 * air_density * body.drag_coefficient.si() * body.frontal_area.si() * r *
                    r * r}});
    add_wheel(path, "left", mass);
    add_wheel(path, "right", mass);
}

}  // namespace

Assembled assemble_driven(const Vehicle& vehicle, const DrivenAt& driven,
                          const Conditions& conditions) {
    Path path{.out = {},
              .vehicle = vehicle,
              .gear = gear_by_name(vehicle.gearbox, driven.gear),
              .oil = conditions.gearbox_oil.si()};
    path.slip_speed = driven.slip_speed / (path.gear.ratio.si() * vehicle.axle.final_drive.si());
    const double input_speed = driven.input_speed.value_or(driven.speed);
    add_clutch_side(path.out, vehicle,
                    {.engine_speed = driven.speed,
                     .input_speed = input_speed,
                     .closed = !driven.input_speed,
                     .mean_speed = driven.input_speed ? driven.speed : driven.slip_speed});
    add_gearbox(path, input_speed);
    add_propshaft(path);
    add_axle(path, input_speed);
    add_vehicle(path, conditions, driven.road_load);
    return std::move(path.out);
}

Assembled assemble_in_gear(const Vehicle& vehicle, const TorqueChange& change,
                           const Conditions& conditions) {
    const double speed = change.speed.si();
    Assembled out = assemble_driven(
        vehicle, {.gear = change.gear, .speed = speed, .slip_speed = speed}, conditions);
    out.line.inputs.push_back({.name = "engine torque",
                               .inertia = out.engine,
                               .source = TorqueRamp{.from = change.from.si(),
                                                    .to = change.to.si(),
                                                    .start = change.start.si(),
                                                    .rise = change.rise.si(),
                                                    .lag = change.lag.si()}});
    lean_on_power_unit(out);
    return out;
}

Assembled assemble(const Scenario& scenario) {
    const Vehicle& vehicle = scenario.vehicle;
    const Conditions& conditions = scenario.conditions;
    struct Kinds {
        const Vehicle& vehicle;
        const Conditions& conditions;
        Assembled operator()(const Idle& m) const { return assemble_idle(vehicle, m, conditions); }
        Assembled operator()(const TorqueChange& m) const {
            return assemble_in_gear(vehicle, m, conditions);
        }
        Assembled operator()(const Pull& m) const {
            return assemble_speed_run(vehicle, m, true, conditions);
        }
        Assembled operator()(const Overrun& m) const {
            return assemble_speed_run(vehicle, m, false, conditions);
        }
        Assembled operator()(const Creep& m) const {
            return assemble_creep(vehicle, m, conditions);
        }
        Assembled operator()(const TakeUp& m) const {
            return assemble_take_up(vehicle, m, conditions);
        }
        Assembled operator()(const EngineStart& m) const {
            return assemble_start(vehicle, m, conditions);
        }
        Assembled operator()(const RecordedSpeed& m) const {
            return assemble_recorded(vehicle, m, conditions);
        }
        Assembled operator()(const EngineStop& m) const {
            return assemble_stop(vehicle, m, conditions);
        }
    };
    try {
        return std::visit(Kinds{vehicle, conditions}, scenario.manoeuvre);
    } catch (const ModelError& error) {
        throw InputError(std::string("this vehicle cannot be assembled: ") + error.what());
    }
}

}  // namespace damper
