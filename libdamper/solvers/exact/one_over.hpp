// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>

namespace damper {

/// one_over[k] = 1/k for k ≥ 1. In loops over the orders of a series a division would be most of
/// the cost.
inline constexpr auto one_over = [] {
    std::array<double, 128> out{};
    for (std::size_t k = 1; k < out.size(); ++k) out[k] = 1.0 / static_cast<double>(k);
    return out;
}();

}  // namespace damper
