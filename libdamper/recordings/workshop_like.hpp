// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/tooth_wheel.hpp"

#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace damper {

// Recordings of our own making, from motions and impacts that were calculated: what a workshop's
// instruments would have written. Everything random depends on `seed` alone.

/// A pickup over a toothed wheel.
struct Pickup {
    ToothWheel wheel{60, 0};
    double pitch_error = 0.0;  ///< Unevenness of the teeth, standard deviation [rad]
    double jitter = 0.0;       ///< Of each pulse, standard deviation [s]
    double clock = 1e-7;       ///< Times are whole numbers of it [s]; 0: as they are
    double first_angle = 0.0;  ///< Of the shaft when the recording begins [rad]
    std::uint64_t seed = 1;
};

/// Angle errors of a pickup's teeth [rad], normally distributed, mean 0.
[[nodiscard]] std::vector<double> pitch_errors(const Pickup& pickup);

/// Times at which the teeth pass, from a speed [rad/s] > 0 at rising times [s]; at least four.
/// Throws ModelError otherwise.
[[nodiscard]] std::vector<double> pulse_times(std::span<const double> time,
                                              std::span<const double> speed, const Pickup& pickup);

/// A microphone or accelerometer near a gearbox.
struct NoisePickup {
    double rate = 48000.0;      ///< [Hz]
    double ring = 2600.0;       ///< Of the case after a knock, lowest of three tones [Hz]
    double ring_decay = 900.0;  ///< [1/s]
    double background = 0.05;   ///< Noise that is always there, over the loudest knock, rms
    double engine = 0.3;        ///< Hum of the firing and its harmonics, over the loudest knock
    double largest = 0.7;       ///< Of full scale, what the loudest knock becomes; > 0
    std::uint64_t seed = 1;
};

/// Sound of knocks: each rings with √energy as amplitude, in three tones of the case, over the hum
/// of the firing and noise. `time` [s] within 0 and `length`, `energy` ≥ 0 [J], as many;
/// `firing_frequency` [Hz], 0: no hum. Values of full scale, cut at ±1. Without knocks `largest`
/// is the scale of hum and noise.
[[nodiscard]] std::vector<double> knock_sound(std::span<const double> time,
                                              std::span<const double> energy, double length,
                                              double firing_frequency, const NoisePickup& pickup);

/// Normally distributed numbers of mean 0 and variance 1 (Box and Muller), number `index` of
/// `seed`.
[[nodiscard]] double normal_random(std::uint64_t seed, std::uint64_t index);

/// A speed with the noise of its sensor [rad/s], rounded to whole numbers of `resolution` [rad/s].
[[nodiscard]] std::vector<double> noisy_speed(std::span<const double> speed, double noise,
                                              double resolution, std::uint64_t seed);

/// Tables as recorders write them: "time [s],flywheel speed [rpm]" and "pulse time [s]".
/// `input` may be empty.
[[nodiscard]] std::string speed_csv(std::span<const double> time, std::span<const double> flywheel,
                                    std::span<const double> input);
[[nodiscard]] std::string pulse_csv(std::span<const double> pulses, bool of_input);

}  // namespace damper
