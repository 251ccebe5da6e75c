// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace damper {

/// What two speeds at the same even steps show of a clutch that takes a vehicle up.
struct SlipPart {
    std::size_t first = 0;  ///< From which on the gearbox input turns, with 10 rpm.
    std::size_t stuck = 0;  ///< From which on the faces stick; the number of values: they do not.
};

/// `engine` and `driven` [rad/s] of the same size. `first` is their size if the input stands.
///
/// Once the faces stick, the two speeds still swing about each other as the disc's springs do,
/// about a mean of nothing. Stick and slip ends at once: a large slip comes to nothing within some
/// hundredths of a second. Else, and where the faces let go again a little with every firing, it is
/// where the smoothed slip dies.
[[nodiscard]] SlipPart slip_part(const std::vector<double>& engine,
                                 const std::vector<double>& driven, double step);

/// A speed at rising times.
struct SpeedOverTime {
    const std::vector<double>& time;   ///< [s]
    const std::vector<double>& speed;  ///< [rad/s]
};

/// Time in which the clutch slips, on the clock of the recordings [s].
struct SlipTime {
    double begins = 0.0, ends = 0.0;
    bool from_rest = false;  ///< The engine ran, and the input stood before.
    bool sticks = false;     ///< Both turn alike at the end.
};

/// Nothing where they do not overlap, or the input does not turn. An input that stands gives no
/// pulses: it counts as standing before its first value.
[[nodiscard]] std::optional<SlipTime> slip_time(const SpeedOverTime& engine,
                                                const SpeedOverTime& driven);

/// Whether it is a start from rest: the input stands while the engine turns, then comes up within
/// some seconds until both turn alike.
[[nodiscard]] bool looks_like_take_up(const SpeedOverTime& engine, const SpeedOverTime& driven);

}  // namespace damper
