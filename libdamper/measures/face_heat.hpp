// SPDX-License-Identifier: MIT
#pragma once

#include <span>
#include <vector>

namespace damper {

/// Surface rise of a thick plate under a heat flux [W/m²] that is constant over each of equal bins
/// of `step` [s], at the end of each bin [K]:
///
///     ΔT(t) = 1/(e·√π)·∫₀ᵗ q(s)/√(t − s) ds,  e = √(k·ρ·c)
///
/// Source: H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd edition, section 2.9.
[[nodiscard]] std::vector<double> surface_rise(std::span<const double> flux, double step,
                                               double effusivity);

}  // namespace damper
