// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// How the inertias of a core hang together: a trunk with full matrices, and leaves that each hang
/// on one inertia of the trunk (gears on their shaft), four of the same one in a block.
///
/// Matrices are column by column and divided by the inertias. A block holds, four numbers each: the
/// factors of the centre and of the leaf in the twist between them, stiffness and damping of that,
/// stiffness and damping of the leaf against the ground, and one over its inertia.
struct CoreShape {
    static constexpr int block_size = 28;
    int trunk_width = 4;  ///< 4 or 8 lanes; 0 if the trunk goes another way.
    int trunk_columns = 0;
    int first_leaf = 4;  ///< Lane of the first block.
    int blocks = 0;
    const double* k = nullptr;
    const double* c = nullptr;
    const double* leaves = nullptr;
    const int* centre = nullptr;             ///< Lane, of each block.
    const double* centre_inverse = nullptr;  ///< One over its inertia.
};

/// The loops that a run of the exact solver spends its time in, compiled for what the processor
/// offers and chosen when the program runs.
///
/// Every version adds in the same order and never fuses a product with a sum, so that a result
/// does not depend on the processor. `width` is a multiple of four; rows beyond the inertias in use
/// are zero. Coefficients of order k stand at [k·width … k·width + width).
struct Kernel {
    /// One order of the motion: θ = f·ω₋, ω = f·α₋, α = −K·θ − C·ω. Returns the largest |ω|.
    using Advance = double (*)(const CoreShape& shape, int width, double f,
                               const double* omega_before, const double* alpha_before,
                               double* theta, double* omega, double* alpha);
    /// α −= K·θ + C·ω for the order that a step begins with.
    using Accelerate = void (*)(const CoreShape& shape, const double* theta, const double* omega,
                                double* alpha);
    /// out −= K·x + C·y for column-major K and C of `width` rows and `columns` columns.
    using Subtract = void (*)(const double* k, const double* c, int columns, int width,
                              const double* x, const double* y, double* out);
    /// Values at s of `width` polynomials of `orders` + 1 coefficients.
    using Values = void (*)(const double* coefficients, int orders, int width, double s,
                            double* out);
    /// The same at several s at once: out[i·count + q] for polynomial i < `rows`; `count` is a
    /// multiple of four, at most `most_places`.
    using ValuesAtMany = void (*)(const double* coefficients, int orders, int width, int rows,
                                  const double* s, int count, double* out);
    /// Σ k·|coefficient k| over k ≥ 1 for each of `width` polynomials.
    using SlopeBounds = void (*)(const double* coefficients, int orders, int width, double* out);
    /// Order k ≥ 1 of A = Σ (harmonic along an angle) and of its quadrature B, for `count`
    /// harmonics (a multiple of four) of these `orders`, from the orders before:
    ///     A_k = n/k·Σ_j w_j·B_{k−j},   B_k = −n/k·Σ_j w_j·A_{k−j},   w_j = j·(angle)_j, j ≤ last.
    /// Rows of A and B lie `count` apart. Writes Σ A_k, Σ n·B_k and Σ (|A_k| + |B_k|) to `sums`.
    using Harmonics = void (*)(const double* orders, int count, int k, const double* w, int last,
                               double* a, double* b, double* sums);
    /// Turns coefficients round: out[i·stride + k] for every polynomial i, k = 0 … orders, and
    /// zeros up to the next multiple of four.
    using Transpose = void (*)(const double* coefficients, int orders, int width, int stride,
                               double* out);
    /// y += f·x of n numbers; both have room up to the next multiple of four.
    using AddScaled = void (*)(double f, const double* x, int n, double* y);
    /// Σ|c_k| and Σ k·|c_k| over k ≥ 1 of n coefficients, zeros following up to a multiple of four.
    using Swings = void (*)(const double* c, int n, double* sum, double* weighted);

    /// Value, slope and half the second derivative at s of one polynomial of n coefficients,
    /// followed by `padding` zeros.
    using LocalAt = void (*)(const double* c, int n, double s, double* out);
    /// Σ|c_k|·to^(k−3) over k ≥ 3, and a bound of half the third derivative's magnitude on [0, to];
    /// zeros as for LocalAt.
    using RestUpTo = void (*)(const double* c, int n, double to, double* out);

    static constexpr int padding = 8;
    static constexpr int most_places = 16;
    Advance advance = nullptr;
    Accelerate accelerate = nullptr;
    Subtract subtract = nullptr;
    Values values = nullptr;
    ValuesAtMany values_at_many = nullptr;
    SlopeBounds slope_bounds = nullptr;
    Harmonics harmonics = nullptr;
    Transpose transpose = nullptr;
    AddScaled add_scaled = nullptr;
    Swings swings = nullptr;
    LocalAt local = nullptr;
    RestUpTo rest = nullptr;
    std::string name;  ///< "avx2", "portable"
};

/// The fastest version that this processor runs.
[[nodiscard]] const Kernel& best_kernel();
[[nodiscard]] const Kernel& portable_kernel();

}  // namespace damper
