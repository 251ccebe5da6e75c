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

using Manoeuvre = std::variant<Idle, TipIn, BackOut>;

/// The change of torque that a tip-in or back-out makes; nothing of any other manoeuvre.
[[nodiscard]] const TorqueChange* torque_change_of(const Manoeuvre& manoeuvre);

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
    std::vector<std::pair<std::string, std::string>> inputs;   ///< File read, SHA-256 of its bytes.
    /// Where a value came from: key path → "file:line", or "--set", or "built-in default".
    std::map<std::string, std::string> provenance;
    std::map<std::string, std::string> written;  ///< Key path → single value as it was written.
};

}  // namespace damper
