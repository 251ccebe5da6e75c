// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <optional>
#include <string>

namespace damper {

/// Parts and manoeuvre → driveline. A manoeuvre is a boundary condition (gear path, clutch state,
/// excitation, reference speeds) on the same driveline, not another model.
/// Throws InputError where the description cannot be assembled.
[[nodiscard]] Assembled assemble(const Scenario& scenario);

/// Standing in neutral, engine idling, pedal up or down.
[[nodiscard]] Assembled assemble_idle(const Vehicle& vehicle, const Idle& idle,
                                      const Conditions& conditions);

/// Standing in neutral, the engine cranked from rest until it idles. Friction of the engine is an
/// element of its own; its cylinders burn from a time on, with the idle governor at work.
[[nodiscard]] Assembled assemble_start(const Vehicle& vehicle, const EngineStart& start,
                                       const Conditions& conditions);

/// Standing in neutral, the idling engine left to itself until it rests.
[[nodiscard]] Assembled assemble_stop(const Vehicle& vehicle, const EngineStop& stop,
                                      const Conditions& conditions);

/// Driving in a gear through a range of speeds, pulling or driven by the vehicle (foot off). On a
/// roller bench the brake's torque follows the speed such that the uniform motion has a constant
/// acceleration; the road load is left out there.
[[nodiscard]] Assembled assemble_speed_run(const Vehicle& vehicle, const SpeedRun& run,
                                           bool pulling, const Conditions& conditions);

/// Rolling in a low gear at idle speed, held by the idle governor.
[[nodiscard]] Assembled assemble_creep(const Vehicle& vehicle, const Creep& creep,
                                       const Conditions& conditions);

/// The flywheel driven as it was recorded, in neutral or in a gear. What drives it is so heavy that
/// nothing behind it changes its motion by more than 1e-6; it takes the place of the engine.
[[nodiscard]] Assembled assemble_recorded(const Vehicle& vehicle, const RecordedSpeed& recorded,
                                          const Conditions& conditions);

/// Driving in a gear at an engine speed [rad/s], without a torque of the engine.
struct DrivenAt {
    std::string gear;
    double speed = 0.0;
    double slip_speed = 0.0;  ///< About which the slip of a tyre without grip is linear [rad/s].
    bool road_load = true;
    /// The clutch slips and the gearbox turns with this speed [rad/s]; else it is closed.
    std::optional<double> input_speed = {};
};
[[nodiscard]] Assembled assemble_driven(const Vehicle& vehicle, const DrivenAt& driven,
                                        const Conditions& conditions);

/// Starting from rest: the clutch slips between the engine, held at its speed by driver and
/// governor, and the vehicle, held by rolling resistance and brake until it moves on.
[[nodiscard]] Assembled assemble_take_up(const Vehicle& vehicle, const TakeUp& take_up,
                                         const Conditions& conditions);

/// The same without a torque of the engine, the gearbox input turning at a speed [rad/s].
[[nodiscard]] Assembled assemble_slipping(const Vehicle& vehicle, const TakeUp& take_up,
                                          const Conditions& conditions, double input_speed);

/// Driving in a gear while the engine torque changes.
[[nodiscard]] Assembled assemble_in_gear(const Vehicle& vehicle, const TorqueChange& change,
                                         const Conditions& conditions);

}  // namespace damper
