// SPDX-License-Identifier: MIT
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/clutch_faces.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace damper {

namespace {

constexpr double gravity = 9.80665;  // m/s², standard value
// Slower than this share of its idle speed an engine gives nothing more, and up to the second it
// gives less than its full-load curve says; common practice, no source.
constexpr double dies_at = 0.3;
constexpr double weak_below = 0.6;
constexpr double tyres_at = 0.5;  // of the road speed at the end, for tyres linear in slip

double held_speed(const Engine& engine, const TakeUp& take_up) {
    return take_up.speed.si() > 0.0 ? take_up.speed.si() : engine.idle_speed.si();
}

/// What driver and governor give over engine speed.
SpeedTorque held_torque(const Engine& engine, const TakeUp& take_up) {
    const double idle = engine.idle_speed.si();
    const double held = held_speed(engine, take_up);
    const double governor =
        take_up.governor.si() > 0.0 ? take_up.governor.si() : engine.idle_governor.si();
    const auto governed = [&](double speed) {
        const double alive =
            std::clamp((speed / idle - dies_at) / (weak_below - dies_at), 0.0, 1.0);
        const double most = alive * take_up.load.si() * full_load_torque(engine, speed);
        return std::clamp(governor * (held - speed), -motored_torque(engine, speed), most);
    };
    constexpr double widest = 10.0;  // rad/s from one speed to the next
    const double last = 1.5 * std::max(held, idle);
    const double first = 0.25 * idle;
    const int pieces = static_cast<int>(std::ceil((last - first) / widest));
    std::vector<double> speeds;
    for (int i = 0; i <= pieces; ++i) speeds.push_back(first + (last - first) * i / pieces);
    // Where the governor begins and ends to act there are corners.
    if (governor > 0.0) {
        for (const double corner :
             {held - take_up.load.si() * full_load_torque(engine, held) / governor, held,
              held + motored_torque(engine, held) / governor}) {
            if (corner > first && corner < last) speeds.push_back(corner);
        }
        constexpr double apart = 0.1;  // rad/s that two of them lie apart at least
        std::ranges::sort(speeds);
        const auto [from, end] =
            std::ranges::unique(speeds, [](double a, double b) { return b - a < apart; });
        speeds.erase(from, end);
    }
    return speed_torque(engine, std::move(speeds), governed, take_up.consumers.si());
}

/// What keeps the vehicle at rest: rolling resistance, and a brake that lets go as soon as the
/// driveline pulls it on.
FaceBranch rest_of_vehicle(const Assembled& out, const Vehicle& vehicle, const TakeUp& take_up,
                           const Conditions& conditions) {
    const double slope = std::atan(conditions.grade.si());
    const double weight_torque = vehicle.body.mass.si() * gravity * out.rolling_radius;
    FrictionFaces rolls;
    rolls.radius = out.rolling_radius;
    rolls.friction = {{0.0}, {1.0}};
    rolls.load = {{0.0}, {vehicle.tyre.rolling_resistance.si() * weight_torque * std::cos(slope)}};
    if (take_up.brake != "off") rolls.backstop = weight_torque;
    return {.name = "vehicle on the road",
            .row = {{out.vehicle, 1.0}},
            .law = std::move(rolls),
            .modulations = {}};
}

}  // namespace

Assembled assemble_slipping(const Vehicle& vehicle, const TakeUp& take_up,
                            const Conditions& conditions, double input_speed) {
    const double held = held_speed(vehicle.engine, take_up);
    Vehicle slipping = vehicle;
    slipping.release.drag = Torque::from_si(0.0);  // the faces themselves say what they drag
    Assembled out = assemble_driven(slipping,
                                    {.gear = take_up.gear,
                                     .speed = held,
                                     .slip_speed = tyres_at * held,
                                     .road_load = true,
                                     .input_speed = input_speed},
                                    conditions);
    out.vehicle_may_rest = true;
    out.clutch_closed = true;
    out.clutch_disc = out.line.mass("released disc");
    out.line.masses[static_cast<std::size_t>(out.clutch_disc)].name = "clutch disc";
    for (SmoothBranch& smooth : out.line.smooth) {
        if (auto* road = std::get_if<RoadLoad>(&smooth.law)) road->rolling = 0.0;
    }
    const std::vector<RowEntry> slip = {{out.clutch_side, 1.0}, {out.clutch_disc, -1.0}};
    FaceBranch clutch{.name = "clutch faces",
                      .row = slip,
                      .law = clutch_faces(vehicle, take_up),
                      .modulations = {}};
    const Facing& facing = *vehicle.facing;
    const auto swing = [&](std::vector<RowEntry> row, double share) {
        if (share > 0.0) {
            clutch.modulations.push_back({.row = std::move(row), .share = share, .phase = 0.0});
        }
    };
    swing(slip, facing.slip_modulation.si());
    swing({{out.clutch_disc, 1.0}}, facing.shaft_modulation.si());
    swing({{out.engine, 1.0}}, facing.engine_modulation.si());
    out.clutch_faces = 0;
    out.line.faces = {std::move(clutch), rest_of_vehicle(out, vehicle, take_up, conditions)};
    return out;
}

Assembled assemble_take_up(const Vehicle& vehicle, const TakeUp& take_up,
                           const Conditions& conditions) {
    Assembled out = assemble_slipping(vehicle, take_up, conditions, 0.0);
    out.line.inputs.push_back({.name = "engine torque",
                               .inertia = out.engine,
                               .source = held_torque(vehicle.engine, take_up)});
    lean_on_power_unit(out);
    return out;
}

}  // namespace damper
