// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace damper {

/// The low-discrepancy sequence of Sobol with the direction numbers of S. Joe and F. Y. Kuo,
/// "Constructing Sobol sequences with better two-dimensional projections", SIAM J. Sci. Comput. 30
/// (2008) 2635–2654, as Boost.Random holds them; in the order of the Gray code (I. A. Antonov,
/// V. M. Saleev, 1979), beginning with the origin.
///
/// Any point is had by its number, so that parts of the sequence can be taken on many threads.
class SobolSequence {
  public:
    static constexpr std::size_t most_dimensions = 3667;
    static constexpr unsigned bits = 32;

    /// 1…most_dimensions; throws ModelError.
    explicit SobolSequence(std::size_t dimensions);

    [[nodiscard]] std::size_t dimensions() const { return directions_.size() / bits; }
    /// Coordinate of point `index` < 2^31 in one dimension, 0 ≤ x < 1, a multiple of 2^-32. Throws
    /// ModelError.
    [[nodiscard]] double coordinate(std::uint64_t index, std::size_t dimension) const;

  private:
    std::vector<std::uint32_t> directions_;  ///< [dimension][bit of the Gray code]
};

}  // namespace damper
