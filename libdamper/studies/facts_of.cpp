// SPDX-License-Identifier: MIT
#include "libdamper/studies/facts_of.hpp"

#include "libdamper/assemble/disc.hpp"
#include "libdamper/assemble/two_mass_flywheel.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/scenario/check.hpp"
#include "libdamper/studies/slipping_modes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

std::vector<RunFacts::Stage> stages_of(const StagedSpring& spring) {
    std::vector<RunFacts::Stage> out;
    for (const StageCorners& corner : stage_corners(spring)) {
        out.push_back({.name = spring.stages[out.size()].name,
                       .drive_end = corner.drive_end,
                       .coast_end = -corner.coast_end,
                       .stiffness = corner.drive_stiffness,
                       .torque_at_drive_end = corner.drive_end_torque,
                       .torque_at_coast_end = -corner.coast_end_torque,
                       .friction_limit = corner.friction_limit});
    }
    return out;
}

void add_mounts(RunFacts& facts, const Mounts& mounts) {
    constexpr double none = std::numeric_limits<double>::infinity();
    facts.on_mounts = true;
    facts.roll_drive_stop = mounts.drive_stop.si() > 0.0 ? mounts.drive_stop.si() : none;
    facts.roll_coast_stop = mounts.coast_stop.si() > 0.0 ? -mounts.coast_stop.si() : -none;
}

/// Inertia of everything on one side of a lash, seen from the input shaft, and of all the rest.
/// Sides are told apart by walking the elements without the lash.
double reduced_at_input(const Assembled& assembled, int lash) {
    if (assembled.clutch_faces >= 0) return 0.0;  // a slipping clutch leaves no rigid whole
    const Driveline& line = assembled.line;
    std::vector<bool> before(line.masses.size(), false);
    before[static_cast<std::size_t>(assembled.engine)] = true;
    for (bool grown = true; grown;) {
        grown = false;
        for (std::size_t b = 0; b < line.branches.size(); ++b) {
            if (static_cast<int>(b) == lash) continue;
            const auto& row = line.branches[b].row;
            const auto reached = [&](const RowEntry& entry) {
                return before[static_cast<std::size_t>(entry.inertia)];
            };
            if (std::none_of(row.begin(), row.end(), reached)) continue;
            for (const RowEntry& entry : row) {
                grown = grown || !reached(entry);
                before[static_cast<std::size_t>(entry.inertia)] = true;
            }
        }
    }
    const double input_speed =
        line.masses[static_cast<std::size_t>(assembled.input_shaft)].reference_speed;
    double ahead = 0.0;
    double behind = 0.0;
    for (std::size_t i = 0; i < line.masses.size(); ++i) {
        const double ratio = line.masses[i].reference_speed / input_speed;
        (before[i] ? ahead : behind) += line.masses[i].inertia * ratio * ratio;
    }
    return ahead * behind / (ahead + behind);
}

void add_gears(RunFacts& facts, const Assembled& assembled) {
    const auto name = [&](int branch) {
        return assembled.line.branches[static_cast<std::size_t>(branch)].name;
    };
    for (const Assembled::LooseGear& gear : assembled.loose_gears) {
        facts.loose_gears.push_back({.element = name(gear.branch),
                                     .ratio = gear.ratio,
                                     .inertia = gear.inertia,
                                     .drag = gear.drag});
    }
    for (const Assembled::LoadedLash& lash : assembled.loaded_lashes) {
        facts.loaded_lashes.push_back({.element = name(lash.branch),
                                       .to_input = lash.to_input,
                                       .reduced_inertia = reduced_at_input(assembled, lash.branch),
                                       .gap = lash.gap});
    }
    double input_per_wheel = 1.0;
    for (const auto& [step, ratio] : assembled.gear_path) input_per_wheel *= ratio;
    for (const Assembled::LoadedLash& lash : assembled.loaded_lashes) {
        facts.play_at_wheel += lash.gap * std::abs(lash.to_input / input_per_wheel);
    }
}

double twist_at_start(const Assembled& assembled, const SteadyState& start) {
    const Stacked stacked(assembled.line);
    double twist = 0.0;
    for (std::size_t b = 0; b < assembled.line.branches.size(); ++b) {
        if (assembled.line.branches[b].kind == "disc") {
            twist += stacked.twist(b, start.state.time, start.state.angle);
        }
    }
    return twist;
}

void add_idle(RunFacts& facts, const Idle& idle, const Engine& engine) {
    facts.measured_from = idle.settle.si();
    facts.length = idle.length.si();
    facts.engine_speed = idle.speed.si() > 0.0 ? idle.speed.si() : engine.idle_speed.si();
}

/// Uniform acceleration of the vehicle if the engine torque were `torque` for good.
double acceleration_with(const Assembled& assembled, double torque) {
    Driveline line = assembled.line;
    for (Input& input : line.inputs) {
        if (input.inertia == assembled.engine) input.source = ConstantTorque{torque};
    }
    return assembled.rolling_radius *
           steady_state(line).acceleration[static_cast<std::size_t>(assembled.vehicle)];
}

void add_change(RunFacts& facts, const TorqueChange& change, const Assembled& assembled) {
    facts.measured_from = change.start.si();
    facts.length = change.length.si();
    facts.engine_speed = change.speed.si();
    facts.change_start = change.start.si();
    facts.change_end = change.start.si() + change.rise.si();
    facts.torque_from = change.from.si();
    facts.torque_to = change.to.si();
    facts.acceleration_from = acceleration_with(assembled, change.from.si());
    facts.acceleration_to = acceleration_with(assembled, change.to.si());
}

void add_speed_run(RunFacts& facts, const SpeedRun& run) {
    facts.measured_from = run.settle.si();
    facts.length = run.length.si();
    facts.engine_speed = run.from.si();
    facts.speed_to = run.to.si();
}

void add_creep(RunFacts& facts, const Creep& creep, const Engine& engine) {
    facts.measured_from = creep.settle.si();
    facts.length = creep.length.si();
    facts.engine_speed = engine.idle_speed.si();
}

void add_recorded(RunFacts& facts, const RecordedSpeed& recorded, const Assembled& assembled) {
    facts.measured_from = recorded.settle.si();
    facts.length = recorded.length.si();
    facts.engine_speed =
        assembled.line.masses[static_cast<std::size_t>(assembled.engine)].reference_speed;
}

}  // namespace

RunFacts facts_of(const Scenario& scenario, const Assembled& assembled, const SteadyState& start) {
    RunFacts facts;
    facts.vehicle_class = scenario.vehicle.vehicle_class;
    facts.clutch_closed = assembled.clutch_closed;
    facts.firing_order = 0.5 * scenario.vehicle.engine.cylinders;
    facts.oil_temperature = scenario.conditions.gearbox_oil.si();
    facts.oil_name = scenario.vehicle.gearbox.oil.title;
    facts.engine_peak_torque = scenario.vehicle.engine.peak_torque.si();
    facts.drag_at_input = start.torque[static_cast<std::size_t>(assembled.disc_to_input)];
    facts.static_twist = twist_at_start(assembled, start);
    facts.stages = stages_of(staged_spring(scenario.vehicle.disc));
    if (const auto& flywheel = scenario.vehicle.two_mass_flywheel) {
        facts.flywheel_stages = stages_of(staged_spring(*flywheel, assembled.mean_speed));
    }
    if (assembled.mounts >= 0) add_mounts(facts, *scenario.vehicle.mounts);
    add_gears(facts, assembled);
    facts.driving = assembled.vehicle >= 0;
    facts.manoeuvre = kind_of(scenario.manoeuvre);
    const Engine& engine = scenario.vehicle.engine;
    facts.idle_speed = engine.idle_speed.si();
    if (const auto* idle = std::get_if<Idle>(&scenario.manoeuvre)) {
        add_idle(facts, *idle, engine);
    } else if (const TorqueChange* change = torque_change_of(scenario.manoeuvre)) {
        add_change(facts, *change, assembled);
    } else if (const SpeedRun* run = speed_run_of(scenario.manoeuvre)) {
        add_speed_run(facts, *run);
    } else if (const auto* creep = std::get_if<Creep>(&scenario.manoeuvre)) {
        add_creep(facts, *creep, engine);
    } else if (const auto* take_up = std::get_if<TakeUp>(&scenario.manoeuvre)) {
        facts.length = take_up->length.si();
        facts.engine_speed =
            assembled.line.masses[static_cast<std::size_t>(assembled.engine)].reference_speed;
        facts.clutch = clutch_facts(scenario, *take_up, assembled);
    } else if (const auto* recorded = std::get_if<RecordedSpeed>(&scenario.manoeuvre)) {
        add_recorded(facts, *recorded, assembled);
    } else if (const auto* begins = std::get_if<EngineStart>(&scenario.manoeuvre)) {
        facts.length = begins->length.si();
        facts.switch_time = begins->fires.si();
    } else {
        const auto& stop = std::get<EngineStop>(scenario.manoeuvre);
        facts.length = stop.length.si();
        facts.engine_speed = engine.idle_speed.si();
        facts.switch_time = stop.off.si();
        facts.measured_from = stop.off.si();
    }
    return facts;
}

}  // namespace damper
