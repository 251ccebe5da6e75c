// SPDX-License-Identifier: MIT
#pragma once

#include <vector>

namespace damper {

/// Cushion between the facings of a disc, or of several discs in a row: load over the deflection
/// by which the pack gets thinner. Straight between its points, from (0, 0) to flat; beyond, it is
/// as hard as a wall. Without points the pack is rigid.
///
/// Facings spring back less than they were pressed; that loss is not in it.
class Cushion {
  public:
    Cushion() = default;
    /// `deflection` [m] and `load` [N] of one disc, both rising from above 0; `discs` in a row give
    /// way by so many times as much. Throws ModelError if the lists do not fit.
    Cushion(std::vector<double> deflection, std::vector<double> load, int discs);

    /// Load of the pack, 0 where it is not touched; at most that at flat [N].
    [[nodiscard]] double load(double deflection) const;
    /// Deflection under a load, at most flat [m].
    [[nodiscard]] double deflection(double load) const;
    /// ∫₀^c load dc [J], for c up to flat.
    [[nodiscard]] double energy(double deflection) const;
    [[nodiscard]] double flat() const { return x_.back(); }

  private:
    std::vector<double> x_ = {0.0};
    std::vector<double> y_ = {0.0};
};

}  // namespace damper
