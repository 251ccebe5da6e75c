// SPDX-License-Identifier: MIT
// What a workshop's instruments would have recorded of a run, so that figures come from waveforms.
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/recordings/workshop_like.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/recorded_figures.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

namespace damper::testing {

/// Instruments: common practice, no source.
struct Instruments {
    ToothWheel flywheel{60, 2}, input{36, 1};  ///< With marks, so that nobody has to count.
    double pitch_error = 2e-4;                 ///< [rad]
    double jitter = 1e-6;                      ///< Of the timer [s]
    double speed_step = 1e-3;                  ///< Of a speed trace [s]
    double speed_noise = 0.1;                  ///< [rad/s]: 1 rpm
    double seat_step = 1e-3;                   ///< Of the accelerometer on the seat rail [s]
    double seat_noise = 0.03;                  ///< [m/s2]
    double seat_offset = 0.2;                  ///< [m/s2]: a grade, a sensor that is not level
    double sound_rate = 16000.0;               ///< [Hz]
};

struct Waveforms {
    std::vector<WorkshopRecording> recordings;
    RecordingRequest request;
};

/// Every `step` a value of a signal, from `from` on.
inline std::vector<double> sampled(const std::vector<double>& time,
                                   const std::vector<double>& values, double from, double step) {
    std::vector<double> out;
    std::size_t i = 0;
    for (double t = from; t <= time.back(); t += step) {
        while (i + 2 < time.size() && time[i + 1] <= t) ++i;
        const double share = (t - time[i]) / (time[i + 1] - time[i]);
        out.push_back(std::lerp(values[i], values[i + 1], std::clamp(share, 0.0, 1.0)));
    }
    return out;
}

inline std::vector<double> steps_of(std::size_t count, double step) {
    std::vector<double> out;
    for (std::size_t i = 0; i < count; ++i) out.push_back(step * static_cast<double>(i));
    return out;
}

/// Recordings of a run of a complaint: pulses of flywheel and gearbox input and a microphone where
/// the engine turns all the time, speed traces with a microphone at a start, speed traces and an
/// accelerometer on the seat rail in a take-up or a change of torque. Time 0 of all is where the
/// run is measured from, but of a change half a second earlier, so that there is a before.
inline Waveforms waveforms_of(const RunRecord& run, const std::string& symptom,
                              const Vehicle& vehicle, std::uint64_t seed,
                              const Instruments& with = {}) {
    Waveforms out;
    out.request = recording_request(symptom, vehicle);
    const std::vector<double>& time = run.signals.time;
    const auto& flywheel = run.signals.at("flywheel_speed").values;
    const auto& input = run.signals.at("input_shaft_speed").values;
    const bool running = out.request.manoeuvre == RecordedManoeuvre::running;
    const bool from_rest = symptom == "noise at start or stop";
    constexpr double before = 0.5;  // [s]
    const double from = running ? run.measured_from : std::max(0.0, run.measured_from - before);
    const auto start = static_cast<std::size_t>(
        std::lower_bound(time.begin(), time.end(), from - 1e-9) - time.begin());
    if (running && !from_rest) {
        std::vector<double> t, w, v;
        for (std::size_t i = start; i < time.size(); ++i) {
            t.push_back(time[i] - time[start]);
            w.push_back(flywheel[i]);
            v.push_back(input[i]);
        }
        Pickup pickup{.wheel = with.flywheel,
                      .pitch_error = with.pitch_error,
                      .jitter = with.jitter,
                      .first_angle = 1.3,
                      .seed = seed};
        Pickup other = pickup;
        other.wheel = with.input;
        other.first_angle = 2.1;
        other.seed = seed + 1;
        out.recordings.push_back({.kind = RecordingKind::pulses, .name = "flywheel pulses"});
        out.recordings.back().time = pulse_times(t, w, pickup);
        out.recordings.push_back({.kind = RecordingKind::pulses,
                                  .name = "gearbox input pulses",
                                  .pulses_of = RecordedShaft::input});
        out.recordings.back().time = pulse_times(t, v, other);
    } else {
        WorkshopRecording speeds{.kind = RecordingKind::speed, .name = "speeds"};
        speeds.flywheel = noisy_speed(sampled(time, flywheel, from, with.speed_step),
                                      with.speed_noise, 0.01, seed);
        speeds.input = noisy_speed(sampled(time, input, from, with.speed_step), with.speed_noise,
                                   0.01, seed + 1);
        speeds.time = steps_of(speeds.flywheel.size(), with.speed_step);
        out.recordings.push_back(std::move(speeds));
    }
    if (!running) {
        WorkshopRecording seat{.kind = RecordingKind::acceleration, .name = "seat rail"};
        seat.acceleration = noisy_speed(
            sampled(time, run.signals.at("vehicle_acceleration").values, from, with.seat_step),
            with.seat_noise, 0.001, seed + 2);
        for (double& a : seat.acceleration) a += with.seat_offset;
        seat.time = steps_of(seat.acceleration.size(), with.seat_step);
        out.recordings.push_back(std::move(seat));
        return out;
    }
    // Half of the knocks ring the other way: the two faces of a tooth push the case to and fro.
    std::array<std::vector<double>, 2> knocks, energy;
    for (const Impact& impact : run.events.impacts) {
        const bool loose =
            run.events.elements[static_cast<std::size_t>(impact.element)].ends_with("loose");
        if (!loose || impact.time < time[start]) continue;
        const std::size_t way = counted_random(seed, knocks[0].size() + knocks[1].size(), 9) < 0.5;
        knocks[way].push_back(impact.time - time[start]);
        energy[way].push_back(impact.energy_lost);
    }
    double turned = 0.0;
    for (std::size_t i = start; i + 1 < time.size(); ++i) {
        turned += flywheel[i] * (time[i + 1] - time[i]);
    }
    const double length = time.back() - time[start];
    const double firing = 0.5 * out.request.cylinders * turned / length / (2.0 * std::numbers::pi);
    NoisePickup microphone;
    microphone.rate = with.sound_rate;
    microphone.seed = seed + 3;
    out.recordings.push_back({.kind = RecordingKind::sound, .name = "sound"});
    const auto loudest = [](const std::vector<double>& all) {
        return all.empty() ? 0.0 : std::sqrt(std::max(0.0, *std::ranges::max_element(all)));
    };
    std::vector<double>& sound = out.recordings.back().sound;
    sound = knock_sound(knocks[0], energy[0], length, firing, microphone);
    NoisePickup other = microphone;
    other.background = other.engine = 0.0;
    other.largest *= loudest(energy[0]) > 0.0 ? loudest(energy[1]) / loudest(energy[0]) : 1.0;
    const std::vector<double> back = knock_sound(knocks[1], energy[1], length, firing, other);
    for (std::size_t i = 0; i < sound.size(); ++i) sound[i] -= back[i];
    out.recordings.back().step = 1.0 / with.sound_rate;
    return out;
}

/// The run of a complaint's vehicle with these changes, as figures_of() takes it, but with its
/// signals kept. Steady running goes on for `steady` seconds, as long as a workshop records; 0:
/// as the complaint's file says. `vehicle` becomes the vehicle that ran.
inline RunRecord run_of_complaint(const ComplaintRun& run, const VehiclesAsked& asked,
                                  const std::vector<std::pair<std::string, std::string>>& changes,
                                  double steady, Vehicle& vehicle) {
    std::vector<std::pair<std::string, std::string>> all{{"vehicle", asked.vehicle}};
    all.insert(all.end(), run.changes.begin(), run.changes.end());
    all.insert(all.end(), asked.changes.begin(), asked.changes.end());
    all.insert(all.end(), changes.begin(), changes.end());
    const bool lasts = steady > 0.0 && (run.scenario.find("idle") != std::string::npos ||
                                        run.scenario.find("creep") != std::string::npos);
    if (lasts) {
        std::erase_if(all, [](const auto& one) { return one.first == "manoeuvre.length"; });
        all.emplace_back("manoeuvre.length", std::to_string(steady) + " s");
    }
    const Scenario scenario =
        read_scenario(asked.scenarios / (run.scenario + ".toml"),
                      {.models = asked.models, .changes = all, .measures = {}});
    vehicle = scenario.vehicle;
    return run_one(scenario, {});
}

/// The figures that recordings of a complaint's vehicle give, the way that a workshop's do.
inline std::vector<SeenFigure> figures_by_waveforms(
    const ComplaintKind& kind, const VehiclesAsked& asked,
    const std::vector<std::pair<std::string, std::string>>& changes, std::uint64_t seed) {
    constexpr double steady = 5.5;  // [s]
    Vehicle vehicle;
    const RunRecord run =
        run_of_complaint(*run_for(kind, asked.vehicle_class), asked, changes, steady, vehicle);
    const Waveforms waves = waveforms_of(run, kind.symptom, vehicle, mixed(seed) % 1'000'000);
    return figures_in(waves.recordings, waves.request, kind.symptom, vehicle.engine.idle_speed.si())
        .seen;
}

}  // namespace damper::testing
