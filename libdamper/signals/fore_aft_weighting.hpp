// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/signals/filter.hpp"

#include <span>
#include <vector>

namespace damper {

/// Gain of the frequency weighting Wd (fore-and-aft motion of a seated person) as defined, without
/// any sampling; `frequency` > 0 [Hz].
///
/// A band limit of 0.4 Hz to 100 Hz (second-order Butterworth both ways, Q = 1/√2) and a
/// transition that follows acceleration below 2 Hz and velocity above it (f3 = f4 = 2 Hz,
/// Q4 = 0.63).
///
/// Source: ISO 2631-1:1997, Mechanical vibration and shock — Evaluation of human exposure to
/// whole-body vibration, annex A. Parameters recalled, not read in the source; they reproduce the
/// standard's table of Wd to 0.5 % (tests/published/fore_aft_weighting_test.cpp).
[[nodiscard]] double wd_gain(double frequency);

/// The same as a digital filter: bilinear transform, each section prewarped at its own corner.
/// Good to 0.2 % up to 80 Hz for a `step` of 0.2 ms and less; 0 < step < 2 ms.
[[nodiscard]] Filter wd_filter(double step);

/// Weighted acceleration and its sample spacing.
struct WeightedSignal {
    std::vector<double> values;
    double step = 0.0;   ///< [s]; the input's, divided by a whole number
    int refinement = 1;  ///< That number: sample i of the input is sample i·refinement here.
};

/// Weights an acceleration (uniform `step` [s] > 0). Inputs coarser than 0.2 ms are first
/// interpolated by cubics through four points, so that the sampling does not bend the weighting.
/// A steady start makes no transient: constant acceleration is not felt, the result starts at 0.
[[nodiscard]] WeightedSignal weight_wd(std::span<const double> values, double step);

/// Vibration dose value (∫ a⁴ dt)^¼ [m/s^1.75] of a weighted acceleration [m/s2], `step` [s].
/// Source: ISO 2631-1:1997, 6.3.2 (clause recalled, not read in the source).
[[nodiscard]] double vibration_dose_value(std::span<const double> weighted, double step);

}  // namespace damper
