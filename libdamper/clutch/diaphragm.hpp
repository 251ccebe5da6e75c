// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// Diaphragm spring of a clutch cover: a slotted cone that is bent flat between two circles.
///
/// Between the load circles R₁ > r₁ the load over the deflection λ, counted from the unstressed
/// cone, is
///
///     P(λ) = π·E·h·λ·ln(R/r) / (6·(1 − ν²)·(R₁ − r₁)²) · [(H − a·λ)·(H − a·λ/2) + h²]
///     a = (R − r)/(R₁ − r₁)
///
/// with the unbroken ring from r to R, its thickness h and its cone height H. The fingers bend as
/// rigid levers with the ring. For H/h > √2 the load passes through a maximum and falls beyond it;
/// above H/h = 2·√2 it would fall below zero. The ring is flat at λ = H/a.
///
/// Valid for thin, shallow cones whose section does not bend: h ≪ R − r, H ≪ R. Friction at the
/// circles (some per cent between pressing and releasing) is not in it.
///
/// Source: J. O. Almen and A. László (1936), The uniform-section disk spring, Transactions of the
/// ASME 58(4), 305–314; with circles of their own for the load as clutch text books have it.
struct DiaphragmSpring {
    double outer = 0.0;         ///< R [m]
    double inner = 0.0;         ///< r [m], 0 < r < R
    double outer_circle = 0.0;  ///< R₁ [m], at most R
    double inner_circle = 0.0;  ///< r₁ [m], at least r, less than R₁
    double thickness = 0.0;     ///< h [m], > 0
    double cone_height = 0.0;   ///< H [m], > 0
    double modulus = 0.0;       ///< E [Pa]
    double poisson = 0.3;       ///< ν, 0…0.5
    double factor = 1.0;        ///< Times the load: 1 new, less if set by heat or cracked.
};

/// P(λ) [N].
[[nodiscard]] double spring_load(const DiaphragmSpring& spring, double deflection);
/// dP/dλ [N/m].
[[nodiscard]] double spring_rate(const DiaphragmSpring& spring, double deflection);
/// ∫₀^λ P dλ [J].
[[nodiscard]] double spring_energy(const DiaphragmSpring& spring, double deflection);
/// Deflection at which the ring is flat [m].
[[nodiscard]] double flat_deflection(const DiaphragmSpring& spring);

/// Deflections of the largest load and of the smallest one beyond it [m].
struct LoadExtremes {
    bool exist = false;  ///< H/h > √2
    double highest = 0.0;
    double lowest = 0.0;
};
[[nodiscard]] LoadExtremes load_extremes(const DiaphragmSpring& spring);

/// Load of a plain disc spring without contact flats at the deflection s [N]:
///
///     F = 4·E/(1 − ν²) · t⁴/(K₁·De²) · (s/t)·[(h₀/t − s/t)·(h₀/t − s/(2t)) + 1]
///     K₁ = (1/π)·((δ − 1)/δ)² / ((δ + 1)/(δ − 1) − 2/ln δ),   δ = De/Di
///
/// Source: EN 16984 (formerly DIN 2092), Disc springs – Calculation. The diaphragm spring above
/// with its circles on the rims is the same but for K₁, which Almen and László have as
/// 6/(π·ln δ)·((δ − 1)/δ)²: 0.8 per cent apart at δ = 2, less below.
[[nodiscard]] double disc_spring_load(double outer_diameter, double inner_diameter,
                                      double thickness, double cone_height, double modulus,
                                      double poisson, double deflection);

}  // namespace damper
