// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// A toothed wheel that a pickup counts: `teeth` evenly spaced places, of which the last `missing`
/// of each revolution have no tooth (a mark).
struct ToothWheel {
    int teeth = 0;  ///< Places a revolution, those without a tooth counted; 0: not known.
    int missing = 0;
};

/// Pulses with the place of the wheel that made them.
struct PlacedPulses {
    ToothWheel wheel = {};
    std::vector<double> time = {};  ///< [s], rising
    std::vector<long long> place =
        {};                   ///< Counted on from revolution to revolution, from the mark.
    int lost = 0;             ///< Pulses that are not there though their tooth is.
    int added = 0;            ///< Pulses too many, left out.
    int misplaced_marks = 0;  ///< Revolutions whose mark is not where the count expects it.
    int marks = 0;
};

/// The wheel as its pulses show it: a mark of one or two missing teeth that comes back after the
/// same number of teeth. Without such a mark the teeth cannot be known, and `teeth` is 0.
[[nodiscard]] ToothWheel find_wheel(std::span<const double> time);

/// Counts the pulses of a wheel of known count out, over gaps and pulses too many: an interval is
/// held against the middle of its neighbours. Times [s] rise.
/// Throws ModelError with fewer than two revolutions, or for a wheel of fewer than four places.
[[nodiscard]] PlacedPulses place_pulses(std::span<const double> time, ToothWheel wheel);

/// How much of the unevenness of the intervals comes back each revolution, 0 to 1, if a revolution
/// has so many places. A wrong count smears it; see wheel_doubt.
[[nodiscard]] double pattern_share(const PlacedPulses& pulses, int teeth);

/// Number of places near `pulses.wheel.teeth` whose pattern comes back clearly better than with the
/// count that was given; 0 if the count holds.
[[nodiscard]] int better_count(const PlacedPulses& pulses);

/// Shaft angle at which each place of a wheel passes the pickup, less that of even spacing.
struct ToothPattern {
    ToothWheel wheel = {};
    std::vector<double> error = {};  ///< Of each place [rad]; missing: 0.
    double rms = 0.0;                ///< [rad]
    double half_width = 0.0;  ///< Of the 95 % interval of one place, from the revolutions [rad].
    int revolutions = 0;
};

/// The pattern that comes back each revolution, as a mean over an even number of revolutions of
/// what a smooth motion through the first tooth of each leaves. In steady running the motion itself
/// comes back each revolution in whole orders, and no counting can tell it from the wheel: the
/// whole orders in `kept` are left to the motion (those that the engine makes). Taken from a
/// run-down without firing, `kept` can be empty.
/// Throws ModelError with fewer than four revolutions.
[[nodiscard]] ToothPattern tooth_pattern(const PlacedPulses& pulses, std::span<const int> kept);

/// Angle of each pulse [rad], with the pattern taken into account; none: even spacing. The first
/// place of the wheel in the first revolution is 0. Throws ModelError if the wheels differ.
[[nodiscard]] std::vector<double> pulse_angles(const PlacedPulses& pulses,
                                               const ToothPattern* pattern);

}  // namespace damper
