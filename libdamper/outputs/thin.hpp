// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// What is left of a curve when neighbouring samples that share a bin are drawn as one stroke.
struct Thinned {
    std::vector<double> x;
    std::vector<double> y;
};

/// Smallest and largest value of each of `bins` runs of neighbouring samples, in the order in
/// which they occur, at the first and the middle x of the run: no peak is lost, and several
/// series of one axis thin to the same x. A run whose samples are not finite gives a gap (NaN).
/// A curve of at most 2·bins samples passes unchanged.
[[nodiscard]] Thinned thin(std::span<const double> x, std::span<const double> y, std::size_t bins);

}  // namespace damper
