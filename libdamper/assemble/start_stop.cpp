// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_side.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/assemble/neutral.hpp"
#include "libdamper/elements/slider.hpp"

#include <algorithm>
#include <utility>
#include <vector>

namespace damper {

namespace {

/// Dry friction of the engine with what it drives besides, which brings it to rest.
void add_engine_friction(Assembled& out, const Engine& engine, double consumers) {
    constexpr double give = 1e-2;  // rad that the friction gives before it slips
    const double limit = engine.friction_torque.si() + consumers;
    if (!(limit > 0.0)) return;
    add_element(out.line, "engine friction", "drag", in_power_unit(out, {{out.engine, 1.0}}, -1.0),
                slider({.limit = limit, .grip = limit / give}));
}

/// Speeds at which an engine's torque from standstill to beyond idle is computed [rad/s].
std::vector<double> speeds_about_idle(double idle) {
    std::vector<double> speeds;
    constexpr int pieces = 32;
    for (int i = 0; i <= pieces; ++i) speeds.push_back(2.0 * idle * i / pieces);
    return speeds;
}

/// What the cylinders give with the governor at work and what they take without burning, friction
/// left out of both: that is an element of its own.
struct RunningAndNot {
    SpeedTorque running, motored;
};

RunningAndNot torques_about_idle(const Engine& engine, double needed, double consumers) {
    const double idle = engine.idle_speed.si();
    const double friction = engine.friction_torque.si() + consumers;
    const auto governed = [&](double speed) {
        const double asked = needed + engine.idle_governor.si() * (idle - speed);
        return std::clamp(asked, -friction, full_load_torque(engine, speed));
    };
    // Changing the gas takes nothing at standstill.
    const auto motored = [&](double speed) {
        const double gas =
            std::max(motored_torque(engine, speed) - engine.friction_torque.si(), 0.0);
        return -friction - gas * std::min(1.0, speed / idle);
    };
    RunningAndNot out{.running = speed_torque(engine, speeds_about_idle(idle), governed, consumers),
                      .motored = speed_torque(engine, speeds_about_idle(idle), motored, consumers)};
    for (SpeedTorque* torque : {&out.running, &out.motored}) {
        for (CrankTorque& at : torque->maps[0].at) at.mean += friction;
    }
    return out;
}

/// One torque after the other, the second from a time on.
SpeedTorque followed_by(SpeedTorque first, const SpeedTorque& second, double time) {
    // Either may lack orders that the other has.
    SpeedTorque::Map next = second.maps.front();
    std::vector<CrankTorque*> all;
    for (SpeedTorque::Map* map : {&first.maps.front(), &next}) {
        for (CrankTorque& torque : map->at) all.push_back(&torque);
    }
    give_same_orders(all);
    next.from = time;
    first.maps.push_back(std::move(next));
    return first;
}

}  // namespace

Assembled assemble_start(const Vehicle& vehicle, const EngineStart& start,
                         const Conditions& conditions) {
    const Engine& engine = vehicle.engine;
    const double oil = conditions.gearbox_oil.si();
    const double idle = engine.idle_speed.si();
    const double consumers = start.consumers.si();
    const bool closed = start.pedal != "down";
    Assembled out = assemble_standing(
        vehicle,
        {.speed = 0.0, .input_speed = 0.0, .closed = closed, .oil = oil, .mean_speed = 0.5 * idle});
    out.may_rest = true;
    // Drag for the measures: as at idle, where the start ends.
    std::size_t at = 0;
    for (const GearPair& gear : vehicle.gearbox.gears) {
        if (!turns_in_neutral(gear)) continue;
        out.loose_gears[at++].drag =
            loose_gear_drag(vehicle.gearbox, gear, oil).at(idle / gear.ratio.si());
    }
    add_engine_friction(out, engine, consumers);
    const DragTorque drag = neutral_drag(vehicle.gearbox, oil);
    const double load = closed ? drag.at(idle) : std::min(vehicle.release.drag.si(), drag.at(idle));
    const RunningAndNot torques = torques_about_idle(engine, load, consumers);
    out.line.inputs.push_back(
        {.name = "engine torque",
         .inertia = out.engine,
         .source = followed_by(torques.motored, torques.running, start.fires.si())});
    const CrankTorque cranks{.mean = engine.starter_torque.si(), .harmonics = {}};
    out.line.inputs.push_back(
        {.name = "starter",
         .inertia = out.engine,
         .source = SpeedTorque{.speeds = {0.0, engine.starter_speed.si()},
                               .maps = {{.from = 0.0, .at = {cranks, CrankTorque{}}}}}});
    lean_on_power_unit(out);
    return out;
}

Assembled assemble_stop(const Vehicle& vehicle, const EngineStop& stop,
                        const Conditions& conditions) {
    const Engine& engine = vehicle.engine;
    const double oil = conditions.gearbox_oil.si();
    const double idle = engine.idle_speed.si();
    const double consumers = stop.consumers.si();
    const bool closed = stop.pedal != "down";
    const DragTorque drag = neutral_drag(vehicle.gearbox, oil);
    const double input_speed =
        closed ? idle : released_speed(drag, vehicle.release.drag.si(), idle);
    Assembled out = assemble_standing(vehicle, {.speed = idle,
                                                .input_speed = input_speed,
                                                .closed = closed,
                                                .oil = oil,
                                                .mean_speed = 0.5 * idle});
    out.may_rest = true;
    add_engine_friction(out, engine, consumers);
    const bool slips = !closed && input_speed < idle;
    const RunningAndNot torques =
        torques_about_idle(engine, slips ? vehicle.release.drag.si() : drag.at(idle), consumers);
    out.line.inputs.push_back(
        {.name = "engine torque",
         .inertia = out.engine,
         .source = followed_by(torques.running, torques.motored, stop.off.si())});
    lean_on_power_unit(out);
    return out;
}

}  // namespace damper
