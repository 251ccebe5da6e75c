// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/clutch_facts.hpp"

#include <string>
#include <vector>

namespace damper {

/// What kind of measures a manoeuvre has.
enum class MeasureKind {
    steady,   ///< The engine runs on at one speed: idle, creep, recorded speed.
    change,   ///< One change of torque: tip in, back out.
    sweep,    ///< Through a range of speeds: pull, overrun.
    passage,  ///< From or to standstill: engine start, engine stop.
    take_up,  ///< A clutch that slips takes the vehicle up from rest.
};

/// Throws ModelError if there are no measures for a manoeuvre of this name.
[[nodiscard]] MeasureKind measure_kind(const std::string& manoeuvre);

/// What a measure must know of a run besides its signals and events. Filled by assemble from the
/// description; plain SI numbers, no parts.
///
/// Signals of every run:
///   crank_angle [rad], flywheel_speed, input_shaft_speed [rad/s], flywheel_acceleration,
///   input_shaft_acceleration [rad/s2], disc_twist [rad], disc_torque [N.m], engine_torque [N.m]
/// and of a run in gear also:
///   vehicle_speed [m/s], vehicle_acceleration [m/s2], drive_shaft_torque [N.m],
///   vehicle_jerk [m/s3]
/// and of a take-up also:
///   clutch_torque [N.m], clutch_slip [rad/s], clutch_slip_angle [rad], clutch_clamp [N]
/// with a two-mass flywheel flywheel_twist [rad] and flywheel_torque [N.m], with mounts
///   block_roll [rad] and mount_torque [N.m]
struct RunFacts {
    std::string manoeuvre;      ///< "idle", "tip in", … as descriptions call it.
    std::string vehicle_class;  ///< "car", "light van", "medium truck", "heavy truck".
    bool clutch_closed = true;
    bool driving = false;        ///< In gear: there is a vehicle.
    double measured_from = 0.0;  ///< Measures look at the run from here on [s].
    double length = 0.0;         ///< End of the run asked for [s].
    /// The measured time is made of whole periods of a motion that repeats itself: the sample at
    /// its end is the first one again and does not count twice in means.
    bool repeats = false;
    double engine_speed = 0.0;     ///< Mean, at the start of the run [rad/s].
    double firing_order = 0.0;     ///< Cylinders / 2.
    double oil_temperature = 0.0;  ///< Gearbox oil [K].
    std::string oil_name;          ///< Title of the oil that is in the gearbox.

    struct LooseGear {
        std::string element;   ///< Name of its lash element in EventTable::elements.
        double ratio = 0.0;    ///< Speed of the loose gear over input shaft speed.
        double inertia = 0.0;  ///< At its own shaft [kg m2].
        double drag = 0.0;     ///< Torque that holds it back at its mean speed [N m].
    };
    std::vector<LooseGear> loose_gears;

    struct LoadedLash {
        std::string element;    ///< Name of its lash element in EventTable::elements.
        double to_input = 1.0;  ///< Input shaft speed over the speed of the lash's own twist rate.
        /// J₁·J₂/(J₁ + J₂) of all that turns before and behind the lash, taken as rigid and
        /// referred to the input shaft [kg m2].
        double reduced_inertia = 0.0;
        double gap = 0.0;  ///< Its whole play, at the speed its twist is measured at [rad].
    };
    std::vector<LoadedLash> loaded_lashes;  ///< In the path of the driving torque.
    double play_at_wheel = 0.0;  ///< All their plays together, as angle of the driven wheels [rad].

    /// Stages of the disc from the inside out; total twists of the disc, coast ones negative.
    struct Stage {
        std::string name;
        double drive_end = 0.0;            ///< > 0 [rad]
        double coast_end = 0.0;            ///< < 0 [rad]
        double stiffness = 0.0;            ///< Drive side [N m/rad]
        double torque_at_drive_end = 0.0;  ///< Skeleton [N m], > 0
        double torque_at_coast_end = 0.0;  ///< Skeleton [N m], < 0
        double friction_limit = 0.0;       ///< Half the width of its friction loop [N m]
    };
    std::vector<Stage> stages;
    /// The same of a two-mass flywheel, a free angle as the first stage; empty: a solid one.
    std::vector<Stage> flywheel_stages;
    bool on_mounts = false;  ///< The power unit rolls.
    /// Roll at which a mount meets its stop, > 0 and < 0 [rad]; infinite: none.
    double roll_drive_stop = 0.0, roll_coast_stop = 0.0;

    double drag_at_input = 0.0;  ///< Steady torque through the disc at the start of the run [N m].
    double static_twist = 0.0;   ///< Twist that this torque makes [rad].
    double engine_peak_torque = 0.0;  ///< [N m]

    double speed_to = 0.0;     ///< Pull, overrun: engine speed at which it is over [rad/s].
    double switch_time = 0.0;  ///< Engine start and stop: burning begins or ceases [s].
    double idle_speed = 0.0;   ///< The engine's own [rad/s].

    double change_start = 0.0;  ///< Tip-in, back-out: when the torque begins to change [s].
    double change_end = 0.0;    ///< When the ramp (without its lag) is done [s].
    double torque_from = 0.0;   ///< Engine torque before [N m].
    double torque_to = 0.0;     ///< Engine torque after [N m].
    /// Vehicle acceleration that the new torque would hold, inertias included, road load at the
    /// start [m/s2].
    double acceleration_to = 0.0;
    double acceleration_from = 0.0;  ///< Before the change [m/s2]; 0 in a steady state.

    ClutchFacts clutch;  ///< Take-up only.
};

/// The engine runs on at one speed, standing in neutral.
[[nodiscard]] bool idles(const RunFacts& facts);

/// It runs on at one speed in a gear.
[[nodiscard]] bool rolls(const RunFacts& facts);

}  // namespace damper
