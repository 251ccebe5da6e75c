// SPDX-License-Identifier: MIT
#include "libdamper/recordings/workshop_like.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/counted_random.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/signals/crank_angle.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <iterator>
#include <numbers>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr std::uint64_t of_teeth = 1, of_jitter = 2, of_background = 3, of_phases = 4;

std::uint64_t stream(std::uint64_t seed, std::uint64_t which) {
    return mixed(seed * 8 + which);
}

}  // namespace

double normal_random(std::uint64_t seed, std::uint64_t index) {
    const double u = counted_random(seed, index, 0), v = counted_random(seed, index, 1);
    return std::sqrt(-2.0 * std::log(u)) * std::cos(turn * v);
}

std::vector<double> pitch_errors(const Pickup& pickup) {
    std::vector<double> out;
    const int teeth = pickup.wheel.teeth - pickup.wheel.missing;
    double mean = 0.0;
    for (int k = 0; k < teeth; ++k) {
        out.push_back(pickup.pitch_error *
                      normal_random(stream(pickup.seed, of_teeth), static_cast<std::uint64_t>(k)));
        mean += out.back() / teeth;
    }
    for (double& one : out) one -= mean;
    return out;
}

std::vector<double> pulse_times(std::span<const double> time, std::span<const double> speed,
                                const Pickup& pickup) {
    const int teeth = pickup.wheel.teeth, present = teeth - pickup.wheel.missing;
    if (teeth < 1 || present < 1) throw ModelError("a wheel needs teeth");
    for (const double one : speed) {
        if (!(one > 0.0)) throw ModelError("pulses need a shaft that turns forward");
    }
    const std::vector<double> angle = turned_angle(time, speed);
    const std::vector<double> error = pitch_errors(pickup);
    const double pitch = turn / teeth;
    std::vector<double> out;
    const double begin = pickup.first_angle, end = begin + angle.back();
    std::size_t hint = 0;
    std::uint64_t number = 0;
    for (double place = std::ceil(begin / pitch); place * pitch < end; place += 1.0) {
        const int in_turn = static_cast<int>(std::fmod(place, teeth)) +
                            (place < 0.0 && std::fmod(place, teeth) < 0.0 ? teeth : 0);
        if (in_turn >= present) continue;
        const double at = place * pitch + error[static_cast<std::size_t>(in_turn)] - begin;
        if (at < 0.0 || at > angle.back()) continue;
        double t = four_point(angle, time, at, hint);
        t += pickup.jitter * normal_random(stream(pickup.seed, of_jitter), number++);
        if (pickup.clock > 0.0) t = std::round(t / pickup.clock) * pickup.clock;
        if (out.empty() || t > out.back()) out.push_back(t);
    }
    return out;
}

std::vector<double> knock_sound(std::span<const double> time, std::span<const double> energy,
                                double length, double firing_frequency, const NoisePickup& pickup) {
    if (time.size() != energy.size()) throw ModelError("each knock needs a time and an energy");
    const auto count = static_cast<std::size_t>(length * pickup.rate);
    std::vector<double> out(count, 0.0);
    double loudest = 0.0;
    for (const double one : energy) loudest = std::max(loudest, std::sqrt(std::max(0.0, one)));
    const double scale = loudest > 0.0 ? pickup.largest / loudest : 0.0;
    // Modes of a case, invented: not multiples of each other.
    constexpr std::array<double, 3> tone{1.0, 1.37, 1.83}, share{0.5, 0.3, 0.2};
    const double step = 1.0 / pickup.rate;
    constexpr double faded = 8.0;  // decays after which a knock is over
    for (std::size_t i = 0; i < time.size(); ++i) {
        const double amplitude = scale * std::sqrt(std::max(0.0, energy[i]));
        auto n = static_cast<std::size_t>(std::max(0.0, std::ceil(time[i] * pickup.rate)));
        for (; n < count; ++n) {
            const double t = static_cast<double>(n) * step - time[i];
            if (t * pickup.ring_decay > faded) break;
            double ring = 0.0;
            for (std::size_t m = 0; m < tone.size(); ++m) {
                ring += share[m] * std::sin(turn * pickup.ring * tone[m] * t);
            }
            out[n] += amplitude * std::exp(-pickup.ring_decay * t) * ring;
        }
    }
    constexpr int harmonics = 6;
    std::array<double, harmonics> phase{};
    for (std::size_t k = 0; k < phase.size(); ++k) {
        phase[k] = turn * counted_random(stream(pickup.seed, of_phases), k, 0);
    }
    for (std::size_t n = 0; n < count; ++n) {
        const double t = static_cast<double>(n) * step;
        double hum = 0.0;
        for (std::size_t k = 0; k < phase.size() && firing_frequency > 0.0; ++k) {
            const auto harmonic = static_cast<double>(k + 1);
            hum += std::cos(turn * harmonic * firing_frequency * t + phase[k]) / harmonic;
        }
        out[n] += pickup.largest *
                  (pickup.engine * 0.5 * hum +
                   pickup.background * normal_random(stream(pickup.seed, of_background), n));
        out[n] = std::clamp(out[n], -1.0, 1.0);
    }
    return out;
}

std::vector<double> noisy_speed(std::span<const double> speed, double noise, double resolution,
                                std::uint64_t seed) {
    std::vector<double> out;
    for (std::size_t i = 0; i < speed.size(); ++i) {
        const double value = speed[i] + noise * normal_random(stream(seed, of_jitter), i);
        out.push_back(resolution > 0.0 ? std::round(value / resolution) * resolution : value);
    }
    return out;
}

std::string speed_csv(std::span<const double> time, std::span<const double> flywheel,
                      std::span<const double> input) {
    constexpr double rpm = std::numbers::pi / 30.0;
    std::string out = "time [s],flywheel speed [rpm]";
    if (!input.empty()) out += ",gearbox input speed [rpm]";
    out += '\n';
    for (std::size_t i = 0; i < time.size(); ++i) {
        fmt::format_to(std::back_inserter(out), "{:.6f},{:.3f}", time[i], flywheel[i] / rpm);
        if (!input.empty()) fmt::format_to(std::back_inserter(out), ",{:.3f}", input[i] / rpm);
        out += '\n';
    }
    return out;
}

std::string pulse_csv(std::span<const double> pulses, bool of_input) {
    std::string out = of_input ? "gearbox input pulse time [s]\n" : "flywheel pulse time [s]\n";
    for (const double one : pulses) fmt::format_to(std::back_inserter(out), "{:.9f}\n", one);
    return out;
}

}  // namespace damper
