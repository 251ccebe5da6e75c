// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>

namespace damper {

/// What of an acceleration turns with something, once per revolution of it: with the slip of a
/// clutch, or with the gearbox input shaft.
struct TurningOrder {
    double largest = 0.0;    ///< Amplitude over the window where it is largest.
    double frequency = 0.0;  ///< Revolutions per second there [Hz].
    double share = 0.0;      ///< Of the squares of the acceleration in all windows, 0…1.
};

/// Fits cosine and sine of what turns, `angle` [rad], to an acceleration in windows of 0.3 s
/// (Hann), where its `speed` [rad/s] is 5 to 20 revolutions per second. `step` [s]. Nothing if the
/// signals are shorter than a window or the speed is never there.
[[nodiscard]] std::optional<TurningOrder> turning_order(std::span<const double> acceleration,
                                                        std::span<const double> speed,
                                                        std::span<const double> angle, double step);

}  // namespace damper
