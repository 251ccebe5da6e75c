// SPDX-License-Identifier: MIT
#pragma once

// How much of a recording is enough, for what judges it and for what asks for it. Common practice,
// no source.

namespace damper::enough {

/// Values a revolution for each order that is looked at: cubics between them take little off it.
inline constexpr double values_an_order = 16.0;
/// Engine cycles of steady running that make intervals worth something.
inline constexpr int engine_cycles = 16;
/// Sound that makes intervals worth something [s].
inline constexpr double sound = 8.0;
/// Share of the values a second up to which a sound or an acceleration of a case is looked at.
inline constexpr double of_the_rate = 0.45;
/// More values a second than these are of an accelerometer on a case, not in the vehicle [Hz].
inline constexpr double of_a_case = 4000.0;
/// What follows a change of torque is looked at for so long [s].
inline constexpr double of_shuffle = 2.5;

}  // namespace damper::enough
