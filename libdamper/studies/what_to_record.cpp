// SPDX-License-Identifier: MIT
#include "libdamper/studies/what_to_record.hpp"

#include "libdamper/recordings/enough.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <string_view>
#include <variant>

namespace damper {

namespace {

constexpr double whole_turn = 2.0 * std::numbers::pi;
/// Values a second of what happens once, and of its slow swings at least: with these, figures of
/// recordings are held to those of their runs (tests/studies/recorded_measures_test.cpp).
constexpr const char* once = "1000 values a second";
constexpr const char* of_swings = "1000 values a second, 200 at least";

/// Rounded up to two digits: nobody sets a recorder to 427 a second.
double round_rate(double rate) {
    const double digit = std::pow(10.0, std::floor(std::log10(rate)) - 1.0);
    return digit * std::ceil(rate / digit - 1e-9);
}

struct Advice {
    std::string kind, what;
    std::vector<std::string_view> tells;  ///< Measures, or how their names begin.
};

/// Speeds of both shafts or, unless `teeth` is empty, pulses in their place.
void put_shafts(std::vector<Advice>& out, const std::string& rate, const std::string& teeth,
                const std::vector<std::string_view>& tells) {
    const std::string pulses = ": times at which teeth pass, to 0.000001 s, " + teeth;
    out.push_back({"flywheel",
                   "speed of the flywheel, from a pickup over the ring gear or the "
                   "engine's own crankshaft sensor, " +
                       rate,
                   tells});
    out.push_back({"input_shaft",
                   "speed of the gearbox input at the same time and on the same clock, from a "
                   "pickup over a gear on that shaft, " +
                       rate,
                   tells});
    if (teeth.empty()) return;
    out.push_back({"flywheel_pulses", "in place of flywheel" + pulses, tells});
    out.push_back({"input_shaft_pulses", "in place of input_shaft" + pulses, tells});
}

void put_noise(std::vector<Advice>& out) {
    const RecordingRequest usual;
    const auto rate =
        static_cast<long>(round_rate(usual.band_high / enough::of_the_rate) / 1000.0 + 1.0) * 1000;
    const std::vector<std::string_view> tells{"impact_modulation"};
    out.push_back({"sound",
                   fmt::format("WAV, microphone beside the bell housing, {} values a second or "
                               "more (what every recorder has), level set by hand so that nothing "
                               "clips, without noise suppression, on the speeds' clock",
                               rate),
                   tells});
    out.push_back({"acceleration",
                   fmt::format("in place of sound: accelerometer on the gearbox case, {} values a "
                               "second or more",
                               rate),
                   tells});
}

void put_seat(std::vector<Advice>& out, const std::vector<std::string_view>& tells) {
    out.push_back({"seat_acceleration",
                   fmt::format("accelerometer on the seat rail, fore and aft, that also shows a "
                               "steady acceleration, ±2 g, {}",
                               of_swings),
                   tells});
}

/// From firing to firing as many values as order analysis takes.
std::string steady_rate(const Vehicle& vehicle, double fastest) {
    const double firing = 0.5 * vehicle.engine.cylinders * fastest / whole_turn;
    return fmt::format("{:.0f} values a second or more (from firing to firing {:.0f}, at {})",
                       round_rate(enough::values_an_order * firing), enough::values_an_order,
                       as_rpm(fastest));
}

std::string steady_teeth(const Vehicle& vehicle) {
    return fmt::format("of a wheel of {:.0f} teeth or more",
                       enough::values_an_order * 0.5 * vehicle.engine.cylinders);
}

/// The manoeuvres, one by one.
struct Guide {
    const Vehicle& vehicle;
    std::vector<Advice> advice = {};
    std::string length = {};

    void steady(double speed) {
        if (!(speed > 0.0)) speed = vehicle.engine.idle_speed.si();
        put_shafts(advice, steady_rate(vehicle, speed), steady_teeth(vehicle),
                   {"transfer", "half_order", "speed_fluctuation", "input_shaft_acceleration",
                    "impact_modulation"});
        put_noise(advice);
        length = fmt::format(
            "10 s of it, steady: speeds take {} engine cycles ({:.1f} s), a sound {:.0f} s.",
            enough::engine_cycles, enough::engine_cycles * 2.0 * whole_turn / speed, enough::sound);
    }
    void operator()(const Idle& idle) { steady(idle.speed.si()); }
    void operator()(const Creep&) { steady(0.0); }
    void operator()(const RecordedSpeed&) { steady(0.0); }
    void operator()(const SpeedRun& run) {
        put_shafts(advice, steady_rate(vehicle, std::max(run.from.si(), run.to.si())),
                   steady_teeth(vehicle),
                   {"transfer", "isolation", "input_shaft_acceleration", "impact_modulation"});
        put_noise(advice);
        length =
            "All of it in one go, from the lowest speed to the highest or the other way, "
            "without a change of the pedal.";
    }
    void from_rest(const char* when) {
        // Pulses do not tell when a shaft begins to turn.
        put_shafts(advice, once, "", {"passage", "time_to_idle", "impact_modulation"});
        length = when;
    }
    void operator()(const EngineStart&) {
        from_rest(
            "Begin a second before the starter turns the engine, end a second after it "
            "idles.");
    }
    void operator()(const EngineStop&) {
        from_rest("Begin a second before the engine is shut off, end when it stands.");
    }
    void operator()(const TorqueChange&) {
        put_seat(advice, {"shuffle", "damping_ratio", "overshoot", "acceleration_peak", "jerk"});
        put_shafts(advice, of_swings, steady_teeth(vehicle), {"shuffle", "damping_ratio"});
        length = fmt::format(
            "Begin a second before the pedal is moved, once and quickly; end {:.0f} s after it: "
            "{:g} s of the swing are looked at.",
            std::ceil(enough::of_shuffle), enough::of_shuffle);
    }
    void operator()(const TakeUp&) {
        put_shafts(advice, of_swings, steady_teeth(vehicle), {"judder", "slip", "shaft_order"});
        put_seat(advice, {"judder", "slip_order", "shaft_order"});
        length =
            "Begin a second before the clutch is let in, the vehicle at rest: that is what "
            "the accelerometer's zero and the grade are taken from. End a second after both "
            "shafts turn alike.";
    }
};

}  // namespace

RecordingGuide what_to_record(const Scenario& scenario, const std::vector<std::string>& measures) {
    Guide guide{scenario.vehicle};
    std::visit(guide, scenario.manoeuvre);
    RecordingGuide out;
    for (Advice& one : guide.advice) {
        const bool wanted = std::ranges::any_of(measures, [&](const std::string& measure) {
            return std::ranges::any_of(
                one.tells, [&](std::string_view begins) { return measure.starts_with(begins); });
        });
        if (wanted) out.kinds.emplace_back(std::move(one.kind), std::move(one.what));
    }
    if (!out.empty()) out.length = std::move(guide.length);
    return out;
}

std::vector<std::string> in_words(const RecordingGuide& guide) {
    if (guide.empty()) return {};
    std::vector<std::string> out{guide.length};
    for (const auto& [kind, what] : guide.kinds) out.push_back(fmt::format("{}: {}.", kind, what));
    out.insert(out.end(), recording_rules().begin(), recording_rules().end());
    return out;
}

const std::vector<std::string>& recording_rules() {
    static const std::vector<std::string> rules{
        "Tables are CSV with one line of names and units above the numbers: time [s], flywheel "
        "speed [rpm], gearbox input speed [rpm], acceleration [m/s2] or [g]; pulse time [s] of "
        "pulses.",
        "One table with both speeds is named under flywheel; it may stand under input_shaft as "
        "well. One that also has the acceleration stands under that kind too.",
        "Columns are parted by semicolons or tabs, then decimals may stand behind a comma; or by "
        "commas, then behind a point.",
    };
    return rules;
}

}  // namespace damper
