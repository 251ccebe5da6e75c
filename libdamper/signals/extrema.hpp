// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// A turning point of a sampled signal.
struct Extremum {
    std::size_t index = 0;  ///< Nearest sample.
    double position = 0.0;  ///< Samples from the first one, between the samples.
    double value = 0.0;     ///< At the vertex of the parabola through three samples.
    bool top = false;       ///< Top or bottom.
};

/// Tops and bottoms in turn. A turning point counts once the signal has moved back from it by more
/// than `least_swing` (≥ 0, in units of the signal), so that ripple smaller than that is passed
/// over. The first and last sample are never turning points.
[[nodiscard]] std::vector<Extremum> find_extrema(std::span<const double> values,
                                                 double least_swing);

/// Derivative of a uniformly sampled signal, `step` [s] > 0: central differences over five points,
/// three or two points at the ends. One value gives 0.
[[nodiscard]] std::vector<double> derivative(std::span<const double> values, double step);

}  // namespace damper
