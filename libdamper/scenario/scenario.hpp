// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/vehicle.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <map>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace damper {

/// Standing, gearbox in neutral, engine idling.
struct Idle {
    AngularSpeed speed;  ///< Mean; 0: the engine's own idle speed.
    std::string pedal;   ///< "up" (clutch closed) or "down".
    Time settle;         ///< Left out of the measures. ≥ 0
    Time length;         ///< Of the whole run, settling included.
    Torque consumers;    ///< Load of alternator, pumps and compressor at the crankshaft. ≥ 0
};

/// Driving in gear; the engine torque goes from one value to another.
struct TorqueChange {
    std::string gear;    ///< Name of a gear pair of the gearbox.
    AngularSpeed speed;  ///< Engine speed at the start.
    Torque from;         ///< Engine torque before; steady state.
    Torque to;           ///< Engine torque after.
    Time start;          ///< When the change begins. ≥ 0
    Time rise;           ///< Duration of the ramp. ≥ 0
    Time lag;            ///< First-order lag of the torque behind the ramp. ≥ 0
    Time length;         ///< Of the whole run.
};

/// Pedal pressed: torque rises.
struct TipIn : TorqueChange {};
/// Pedal let go: torque falls, usually below zero.
struct BackOut : TorqueChange {};

/// Driving in gear through a range of engine speeds.
struct SpeedRun {
    std::string gear;   ///< Name of a gear pair of the gearbox.
    AngularSpeed from;  ///< Engine speed at the start.
    AngularSpeed to;    ///< The run ends when the vehicle has got there.
    Ratio load;         ///< Share of the torque curve that is used, 0…1.
    /// On a roller bench whose brake lets the speed change evenly from `from` to `to` in this time;
    /// 0: on the road, as mass, slope and air allow.
    Time sweep;
    Time settle;  ///< Left out of the measures.
    Time length;  ///< The run ends at the latest.
};

/// Pulling: the full-load curve, from a low speed to a high one.
struct Pull : SpeedRun {};
/// Foot off: the engine is driven, from a high speed to a low one.
struct Overrun : SpeedRun {};

/// Rolling in a low gear with the foot off, the idle governor drives.
struct Creep {
    std::string gear;  ///< Name of a gear pair of the gearbox.
    Time settle;       ///< Left out of the measures.
    Time length;       ///< Of the whole run.
    Torque consumers;  ///< Load of alternator, pumps and compressor at the crankshaft. ≥ 0
};

/// Cranking from standstill, standing, gearbox in neutral.
struct EngineStart {
    std::string pedal;  ///< "up" (clutch closed) or "down".
    Time fires;         ///< When the cylinders begin to burn.
    Time length;        ///< Of the whole run.
    Torque consumers;   ///< Load of alternator, pumps and compressor at the crankshaft. ≥ 0
};

/// Running down from idle to standstill, standing, gearbox in neutral.
struct EngineStop {
    std::string pedal;  ///< "up" (clutch closed) or "down".
    Time off;           ///< When the cylinders cease to burn.
    Time length;        ///< Of the whole run.
    Torque consumers;   ///< Load of alternator, pumps and compressor at the crankshaft. ≥ 0
};

/// A point of the clamp load of a clutch that closes.
struct ClampPoint {
    Time time;
    Ratio clamp;  ///< Share of the full clamp load, 0…1.
};

/// A point of the way of the release bearing of a clutch that closes.
struct TravelPoint {
    Time time;
    Ratio travel;  ///< Share of the way at full pedal: 1 pedal down, 0 up.
};

/// Starting from rest in a gear: the clutch closes and takes the vehicle along.
struct TakeUp {
    std::string gear;    ///< Name of a gear pair of the gearbox.
    AngularSpeed speed;  ///< Engine speed that driver and governor hold; 0: idle speed.
    Damping governor;    ///< Torque that they add per missing speed; 0: the idle governor's.
    Ratio load;          ///< Share of the full-load torque that they use at most, 0…1.
    Time start;          ///< When the clutch begins to close. ≥ 0
    Time engage_time;    ///< In which the clamp load rises evenly, > 0.
    Ratio clamp;         ///< Share of the full clamp load that it rises to, 0…1.
    std::vector<ClampPoint> course;    ///< In the place of the even rise; may be empty.
    std::vector<TravelPoint> release;  ///< The same by travel of the bearing, cover and cushion.
    Temperature face_temperature;      ///< Of the rubbing faces at the beginning.
    std::string brake;                 ///< "until it pulls" or "off".
    Torque consumers;                  ///< Load of alternator, pumps and compressor. ≥ 0
    Time length;                       ///< Of the whole run.
};

/// The flywheel turns as it was recorded, whatever the driveline behind it does.
struct RecordedSpeed {
    std::string recording;  ///< Name of the file.
    std::string gear;       ///< Name of a gear pair of the gearbox; empty: standing in neutral.
    Rate
        cut_off;  ///< What swings faster is left out [Hz]; 0: above ten times the firing frequency.
    Time settle;  ///< Left out of the measures.
    Time length;  ///< Of the whole run; 0: as long as the recording allows.

    std::vector<double> time;   ///< From the file [s].
    std::vector<double> speed;  ///< The same [rad/s].
};

using Manoeuvre = std::variant<Idle, TipIn, BackOut, Pull, Overrun, Creep, EngineStart, EngineStop,
                               RecordedSpeed, TakeUp>;

/// The change of torque that a tip-in or back-out makes; nothing of any other manoeuvre.
[[nodiscard]] const TorqueChange* torque_change_of(const Manoeuvre& manoeuvre);

/// The range of speeds that a pull or overrun goes through; nothing of any other manoeuvre.
[[nodiscard]] const SpeedRun* speed_run_of(const Manoeuvre& manoeuvre);

/// Name of the gear that is engaged; empty in neutral.
[[nodiscard]] std::string gear_of(const Manoeuvre& manoeuvre);

/// Time at which a run is over, at the latest.
[[nodiscard]] Time length_of(const Manoeuvre& manoeuvre);

/// The state in which the vehicle is driven.
struct Conditions {
    Temperature gearbox_oil;  ///< Oil temperature in the gearbox.
    Ratio grade;              ///< Slope of the road, rise over run.
};

/// An expected interval of a measure. Bounds in SI.
struct Band {
    std::string measure;
    double low = 0.0;
    double high = 0.0;
    std::string source;
    Dimension dimension{};  ///< Of both bounds.
};

/// What is recorded and how finely.
struct Recording {
    Time step;  ///< Spacing of the recorded samples.
};

/// A manoeuvre with a vehicle under conditions, and what is expected of it.
struct Scenario {
    std::string name;  ///< File name without extension.
    std::string title;
    std::string origin;
    Vehicle vehicle;
    Manoeuvre manoeuvre;
    Conditions conditions;
    Recording recording;
    std::vector<Band> bands;
    /// The command line changed something: the bands, made for the file as it stands, say nothing.
    bool changed_from_outside = false;
    std::vector<std::pair<std::string, std::string>> changes;  ///< Key, value as written.
    std::vector<std::pair<std::string, std::string>> causes;   ///< Key, cause that changed it.
    std::vector<std::pair<std::string, std::string>> inputs;   ///< File read, SHA-256 of its bytes.
    /// Where a value came from: key path → "file:line", or "--set", or "built-in default".
    std::map<std::string, std::string> provenance;
    std::map<std::string, std::string> written;  ///< Key path → single value as it was written.
};

}  // namespace damper
