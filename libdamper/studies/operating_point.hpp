// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/driveline/linearise.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// Name of the gearbox without a gear engaged, wherever a gear is asked for.
inline constexpr const char* neutral = "neutral";

/// What a linear analysis is made about. Everything left out comes from the scenario, or, where its
/// manoeuvre does not say it, from the rules below.
struct OperatingSettings {
    /// Name of a gear, or "neutral". Empty: the scenario's; an idle scenario is in neutral.
    std::string gear = {};
    /// Of the engine [rad/s], 200…10000 rpm. Left out: the scenario's; for a gear that its idle
    /// manoeuvre does not drive in, three times idle speed (common practice, no source).
    std::optional<double> speed = {};
    /// Of the engine at the flywheel [N m], −5000…10000. Left out: in neutral the drag that idling
    /// makes good; in gear what the scenario's change of torque ends with, or, if it is an idle
    /// scenario, half the peak torque of the engine (common practice, no source).
    std::optional<double> torque = {};
    Friction friction = Friction::slips;
    /// Stage of the disc that moves, counted from the inside from 1; 0: the one that the torque
    /// meets. A stage asked for is put in the middle of its torque range, on the drive side unless
    /// the disc is in coast, whatever the engine torque; everything else stays where the torque
    /// puts it.
    int stage = 0;
};

/// A driveline at rest about its uniform motion, and how stiff it is there.
///
/// Contacts with play stand where the steady torques put them. A loose gear is held back by its
/// drag, so that it leans on its driving face with the stiffness of a tooth contact; without drag,
/// or exactly without torque, a contact is free and what hangs on it is a rigid body of its own.
/// Friction against the ground slips. So small a motion that no contact parts is assumed.
struct OperatingPoint {
    std::string gear;  ///< "neutral", or the name of the gear.
    Assembled assembled;
    State state;
    Friction friction = Friction::slips;
    double speed = 0.0;   ///< Of the engine [rad/s].
    double torque = 0.0;  ///< Of the engine at the flywheel, mean [N m].
    double disc_torque =
        0.0;  ///< Steady, through the disc [N m]; of the stage if it was asked for.
    /// Stage of the disc that moves, from 1; 0: none, it is between two stages or on a stop.
    int stage = 0;
    std::string stage_name;        ///< "idle", "main", …; "between stages", "stop".
    bool stage_asked = false;      ///< The stage does not follow from the torque.
    double disc_stiffness = 0;     ///< Of the whole disc there [N m/rad].
    double flywheel_torque = 0.0;  ///< Steady, through a two-mass flywheel [N m].
    Linearised linear;
};

/// "neutral" and the names of all gears.
[[nodiscard]] std::vector<std::string> gears_of(const Scenario& scenario);

/// Throws InputError if there is no such gear or stage, a value is out of its range, or the
/// driveline has no steady state there.
[[nodiscard]] OperatingPoint operating_point(const Scenario& scenario,
                                             const OperatingSettings& settings = {});

}  // namespace damper
