// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/vehicle_fields.hpp"
#include "libdamper/scenario/scenario.hpp"

namespace damper {

template <>
struct PartTable<Idle> {
    static constexpr std::string_view noun = "an idle manoeuvre";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Idle;
        return std::tuple{
            field("speed", &P::speed, within("0 rpm", "5000 rpm"), otherwise("0 rpm"),
                  "Mean engine speed; 0: the engine's own idle speed"),
            field("pedal", &P::pedal, one_of({"up", "down"}), otherwise("up"),
                  "Clutch pedal: up is closed, down is released"),
            field("settle", &P::settle, within("0 s", "600 s"), otherwise("0.5 s"),
                  "Time left out of the measures"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("2.5 s"),
                  "Length of the run, settling included"),
            field("consumers", &P::consumers, within("0 N m", "1000 N m"), otherwise("0 N m"),
                  "Load of alternator, pumps and compressor at the crankshaft"),
        };
    }
};

template <>
struct PartTable<TorqueChange> {
    static constexpr std::string_view noun = "a change of torque in gear";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = TorqueChange;
        return std::tuple{
            field("gear", &P::gear, any(), required, "Name of the gear engaged"),
            field("speed", &P::speed, within("200 rpm", "10000 rpm"), required,
                  "Engine speed at the start"),
            field("from", &P::from, within("-5000 N m", "10000 N m"), required,
                  "Engine torque before"),
            field("to", &P::to, within("-5000 N m", "10000 N m"), required, "Engine torque after"),
            field("start", &P::start, within("0 s", "600 s"), otherwise("0.5 s"),
                  "When the change begins"),
            field("rise", &P::rise, within("0 s", "60 s"), otherwise("0.1 s"),
                  "Duration of the ramp"),
            field("lag", &P::lag, within("0 s", "10 s"), otherwise("0.05 s"),
                  "Lag of the torque behind the ramp"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("2.5 s"),
                  "Length of the run"),
        };
    }
};

template <>
struct PartTable<SpeedRun> {
    static constexpr std::string_view noun = "a run through a range of speeds";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = SpeedRun;
        return std::tuple{
            field("gear", &P::gear, any(), required, "Name of the gear engaged"),
            field("from", &P::from, within("200 rpm", "10000 rpm"), required,
                  "Engine speed at the start"),
            field("to", &P::to, within("200 rpm", "10000 rpm"), required,
                  "Engine speed at which the run ends"),
            field("load", &P::load, within("0", "1"), otherwise("1"),
                  "Share of the torque curve that is used"),
            field("sweep", &P::sweep, within("0 s", "600 s"), otherwise("0 s"),
                  "Time of the range on a roller bench; 0 s: on the road"),
            field("settle", &P::settle, within("0 s", "600 s"), otherwise("0.5 s"),
                  "Time left out of the measures"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("60 s"),
                  "The run ends at the latest"),
        };
    }
};

template <>
struct PartTable<Creep> {
    static constexpr std::string_view noun = "a creep manoeuvre";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Creep;
        return std::tuple{
            field("gear", &P::gear, any(), required, "Name of the gear engaged"),
            field("settle", &P::settle, within("0 s", "600 s"), otherwise("1 s"),
                  "Time left out of the measures"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("4 s"),
                  "Length of the run, settling included"),
            field("consumers", &P::consumers, within("0 N m", "1000 N m"), otherwise("0 N m"),
                  "Load of alternator, pumps and compressor at the crankshaft"),
        };
    }
};

template <>
struct PartTable<EngineStart> {
    static constexpr std::string_view noun = "an engine start";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = EngineStart;
        return std::tuple{
            field("pedal", &P::pedal, one_of({"up", "down"}), otherwise("up"),
                  "Clutch pedal: up is closed, down is released"),
            field("fires", &P::fires, within("0 s", "600 s"), otherwise("0.6 s"),
                  "When the cylinders begin to burn"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("3 s"),
                  "Length of the run"),
            field("consumers", &P::consumers, within("0 N m", "1000 N m"), otherwise("0 N m"),
                  "Load of alternator, pumps and compressor at the crankshaft"),
        };
    }
};

template <>
struct PartTable<EngineStop> {
    static constexpr std::string_view noun = "an engine stop";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = EngineStop;
        return std::tuple{
            field("pedal", &P::pedal, one_of({"up", "down"}), otherwise("up"),
                  "Clutch pedal: up is closed, down is released"),
            field("off", &P::off, within("0 s", "600 s"), otherwise("0.5 s"),
                  "When the cylinders cease to burn"),
            field("length", &P::length, above("0 s", "3600 s"), otherwise("3 s"),
                  "Length of the run"),
            field("consumers", &P::consumers, within("0 N m", "1000 N m"), otherwise("0 N m"),
                  "Load of alternator, pumps and compressor at the crankshaft"),
        };
    }
};

template <>
struct PartTable<ClampPoint> {
    static constexpr std::string_view noun = "a point of the clamp load over time";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = ClampPoint;
        return std::tuple{
            field("time", &P::time, within("0 s", "600 s"), required, "From the start of the run"),
            field("clamp", &P::clamp, within("0", "1"), required, "Share of the full clamp load"),
        };
    }
};

template <>
struct PartTable<TravelPoint> {
    static constexpr std::string_view noun = "a point of the release travel over time";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = TravelPoint;
        return std::tuple{
            field("time", &P::time, within("0 s", "600 s"), required, "From the start of the run"),
            field("travel", &P::travel, within("0", "1"), required,
                  "Share of the bearing's travel at full pedal: 1 pedal down, 0 up"),
        };
    }
};

template <>
struct PartTable<TakeUp> {
    static constexpr std::string_view noun = "a take-up";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = TakeUp;
        return std::tuple{
            field("gear", &P::gear, any(), required, "Name of the gear engaged"),
            field("speed", &P::speed, within("0 rpm", "5000 rpm"), otherwise("0 rpm"),
                  "Engine speed that driver and governor hold; 0: the engine's own idle speed"),
            field("governor", &P::governor, within("0 N m s/rad", "1000 N m s/rad"),
                  otherwise("0 N m s/rad"),
                  "Torque they add per missing speed; 0: that of the idle governor"),
            field("load", &P::load, within("0", "1"), otherwise("1"),
                  "Share of the full-load torque that they use at most"),
            field("start", &P::start, within("0 s", "600 s"), otherwise("0.2 s"),
                  "When the clutch begins to close, with an even rise"),
            field("engage_time", &P::engage_time, above("0 s", "600 s"), otherwise("1.5 s"),
                  "Time in which the clamp load rises evenly"),
            field("clamp", &P::clamp, above("0", "1"), otherwise("1"),
                  "Share of the full clamp load that it rises to"),
            field("course", &P::course, entries(0, 200), may_be_absent,
                  "Clamp load over time, in the place of the even rise"),
            field("release", &P::release, entries(0, 200), may_be_absent,
                  "Release travel over time, in the place of the even rise"),
            field("face_temperature", &P::face_temperature, within("-60 degC", "800 degC"),
                  otherwise("60 degC"), "Of the rubbing faces at the beginning"),
            field("brake", &P::brake, one_of({"until it pulls", "off"}),
                  otherwise("until it pulls"),
                  "Whether the vehicle is held from rolling back until it moves on"),
            field("consumers", &P::consumers, within("0 N m", "1000 N m"), otherwise("0 N m"),
                  "Load of alternator, pumps and compressor at the crankshaft"),
            field("length", &P::length, above("0 s", "600 s"), otherwise("4 s"),
                  "Length of the run"),
        };
    }
};

template <>
struct PartTable<RecordedSpeed> {
    static constexpr std::string_view noun = "a recorded speed";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = RecordedSpeed;
        return std::tuple{
            field("recording", &P::recording, any(), required,
                  "Table of time and flywheel speed: a file beside this one, or a recording of the "
                  "models folder"),
            field("gear", &P::gear, any(), may_be_absent,
                  "Name of the gear engaged; absent: standing in neutral"),
            field("cut_off", &P::cut_off, within("0 Hz", "20000 Hz"), otherwise("0 Hz"),
                  "What swings faster is left out; 0 Hz: ten times the firing frequency"),
            field("settle", &P::settle, within("0 s", "600 s"), otherwise("0.5 s"),
                  "Time left out of the measures"),
            field("length", &P::length, within("0 s", "3600 s"), otherwise("0 s"),
                  "Length of the run; 0 s: as long as the recording allows"),
        };
    }
};

template <>
struct PartTable<Conditions> {
    static constexpr std::string_view noun = "the conditions";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Conditions;
        return std::tuple{
            field("gearbox_oil", &P::gearbox_oil, within("-50 degC", "200 degC"),
                  otherwise("80 degC"), "Oil temperature in the gearbox"),
            field("grade", &P::grade, within("-1", "1"), otherwise("0"),
                  "Slope of the road, rise over run"),
        };
    }
};

template <>
struct PartTable<Recording> {
    static constexpr std::string_view noun = "the recording";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Recording;
        return std::tuple{
            field("step", &P::step, within("1 us", "1 ms"), otherwise("50 us"),
                  "Spacing of the recorded samples"),
        };
    }
};

}  // namespace damper
