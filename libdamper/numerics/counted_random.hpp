// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

namespace damper {

/// The finalising function of SplitMix64: every bit of the input reaches every bit of the output.
///
/// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators",
/// OOPSLA 2014, figure 17 (mix64variant13).
[[nodiscard]] constexpr std::uint64_t mixed(std::uint64_t bits) {
    bits = (bits ^ (bits >> 30U)) * 0xbf58476d1ce4e5b9ULL;
    bits = (bits ^ (bits >> 27U)) * 0x94d049bb133111ebULL;
    return bits ^ (bits >> 31U);
}

/// A pseudorandom number in (0, 1) that depends on three counts alone: the same on every thread
/// and machine, in whatever order the numbers are asked for.
[[nodiscard]] constexpr double counted_random(std::uint64_t seed, std::uint64_t index,
                                              std::uint64_t place) {
    constexpr std::uint64_t golden = 0x9e3779b97f4a7c15ULL;  // of SplitMix64
    const std::uint64_t row = mixed(mixed(seed + golden) + golden * (index + 1));
    const std::uint64_t bits = mixed(row + golden * (place + 1));
    constexpr double step = 0x1p-53;
    return (static_cast<double>(bits >> 11U) + 0.5) * step;
}

}  // namespace damper
