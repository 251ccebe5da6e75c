// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/orbit_record.hpp"

#include <string>

namespace damper {

/// The page of steady motions over engine speed: order cuts drawn along the curve, isolation, half
/// shaft torque, rattle ratios, a map of orders over speed, jumps, gaps and exact runs. One file
/// without scripts and without anything from elsewhere.
[[nodiscard]] std::string html_orbit(const OrbitRecord& record);

/// Amplitude of a signal, orders upwards, engine speed to the right, darker for more on a
/// logarithmic scale of three decades below the largest. Where several motions share a speed, the
/// largest is shown; columns without a motion stay empty.
[[nodiscard]] std::string svg_order_map(const OrbitRecord& record, std::size_t signal);

}  // namespace damper
