// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// The loops that a run of the exact solver spends its time in, compiled for what the processor
/// offers and chosen when the program runs.
///
/// Every version adds in the same order and never fuses a product with a sum, so that a result
/// does not depend on the processor. `width` is a multiple of four; rows beyond the inertias in use
/// are zero. Coefficients of order k stand at [k·width … k·width + width).
struct Kernel {
    /// One order of the motion: θ = f·ω₋, ω = f·α₋, α = −K·θ − C·ω, with column-major K and C of
    /// `width` rows and `columns` columns. Returns the largest |ω|.
    using Advance = double (*)(const double* k, const double* c, int columns, double f,
                               const double* omega_before, const double* alpha_before,
                               double* theta, double* omega, double* alpha);
    /// α −= K·θ + C·ω for the order that a step begins with.
    using Accelerate = void (*)(const double* k, const double* c, int columns, int width,
                                const double* theta, const double* omega, double* alpha);
    /// Values at s of `width` polynomials of `orders` + 1 coefficients.
    using Values = void (*)(const double* coefficients, int orders, int width, double s,
                            double* out);
    /// The same at several s at once: out[i·count + q] for polynomial i < `rows`; `count` is a
    /// multiple of four, at most `most_places`.
    using ValuesAtMany = void (*)(const double* coefficients, int orders, int width, int rows,
                                  const double* s, int count, double* out);
    /// Σ k·|coefficient k| over k ≥ 1 for each of `width` polynomials.
    using SlopeBounds = void (*)(const double* coefficients, int orders, int width, double* out);
    /// Σ over harmonics of even·(−n²)^d and odd·(−n²)^d for d = 0 … pairs − 1, written in turn.
    /// `even` and `odd` are used up; `count` is a multiple of four.
    using Derivatives = void (*)(const double* minus_square, double* even, double* odd, int count,
                                 int pairs, double* out);

    /// Turns coefficients round: out[i·stride + k] for every polynomial i, k = 0 … orders, and
    /// zeros up to the next multiple of four.
    using Transpose = void (*)(const double* coefficients, int orders, int width, int stride,
                               double* out);
    /// y += f·x of n numbers; both have room up to the next multiple of four.
    using AddScaled = void (*)(double f, const double* x, int n, double* y);
    /// Σ|c_k| and Σ k·|c_k| over k ≥ 1 of n coefficients, zeros following up to a multiple of four.
    using Swings = void (*)(const double* c, int n, double* sum, double* weighted);

    static constexpr int most_places = 16;
    Advance advance4 = nullptr;  ///< For width 4.
    Advance advance8 = nullptr;  ///< For width 8.
    Accelerate accelerate = nullptr;
    Values values = nullptr;
    ValuesAtMany values_at_many = nullptr;
    SlopeBounds slope_bounds = nullptr;
    Derivatives derivatives = nullptr;
    Transpose transpose = nullptr;
    AddScaled add_scaled = nullptr;
    Swings swings = nullptr;
    std::string name;  ///< "avx2", "portable"
};

/// The fastest version that this processor runs.
[[nodiscard]] const Kernel& best_kernel();
[[nodiscard]] const Kernel& portable_kernel();

}  // namespace damper
