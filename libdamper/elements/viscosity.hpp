// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// Kinematic viscosity of an oil over temperature from two points.
///
///     log₁₀ log₁₀(ν + 0.7) = A − B·log₁₀ T      ν in mm²/s, T in K
///
/// Source: ASTM D341, Standard practice for viscosity–temperature equations and charts for liquid
/// petroleum or hydrocarbon products, basic equation (valid for ν above about 2 mm²/s).
class ViscosityLine {
  public:
    /// Two temperatures [K] with their viscosities [m²/s]; the hotter one thinner, both > 2 mm²/s.
    /// Throws ModelError otherwise.
    ViscosityLine(double cold_temperature, double cold_viscosity, double hot_temperature,
                  double hot_viscosity);

    /// [m²/s] at `temperature` [K] > 0.
    [[nodiscard]] double at(double temperature) const;

  private:
    double a_;
    double b_;
};

}  // namespace damper
