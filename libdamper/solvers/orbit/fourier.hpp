// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Dense>

namespace damper {

/// Real Fourier series of one period: x(t) = a₀ + Σ (cₙ·cos nωt + sₙ·sin nωt), n = 1 … harmonics.
///
/// Coefficients stand in a vector [2·harmonics + 1]: a₀, c₁, s₁, c₂, s₂, …
struct FourierBasis {
    int harmonics = 0;   ///< ≥ 0
    double omega = 1.0;  ///< Of the first harmonic [rad/s], > 0

    [[nodiscard]] Eigen::Index size() const { return 2 * Eigen::Index{harmonics} + 1; }
    [[nodiscard]] double period() const;  ///< [s]
    /// Coefficients of the derivative over time of a series.
    [[nodiscard]] Eigen::VectorXd derivative(const Eigen::VectorXd& x) const;
    /// 1, cos ωt, sin ωt, cos 2ωt, … [size]
    [[nodiscard]] Eigen::VectorXd at(double t) const;
};

/// A series over its period at evenly spaced points: the part of evaluating it that does not depend
/// on the series.
struct FourierGrid {
    explicit FourierGrid(int harmonics, int points);

    int harmonics = 0;
    int points = 0;         ///< From the beginning of the period to before its end.
    Eigen::MatrixXd table;  ///< [points × 2·harmonics + 1]
};

/// Coefficients of a series of another number of harmonics: cut off or filled with zeros.
[[nodiscard]] Eigen::VectorXd resized(const Eigen::VectorXd& x, int harmonics);

/// A series, its rate and the rate of that at one time.
struct SeriesNow {
    double value = 0.0;
    double rate = 0.0;
    double acceleration = 0.0;
};
[[nodiscard]] SeriesNow evaluate(const FourierBasis& basis, const Eigen::VectorXd& x, double t);

/// Integrals of a function that is constant on pieces of the period, against cos jωt and sin jωt,
/// j = 0 … most. Gives its products with a series exactly, without sampling.
class PieceSums {
  public:
    PieceSums(int most, double omega);
    /// Adds the piece of `height` between two times.
    void add(double height, double from, double to);
    /// The same with sines and cosines of the ends known: `at` of a basis of `most` harmonics.
    void add(double height, double from, double to, const Eigen::VectorXd& at_from,
             const Eigen::VectorXd& at_to);

    /// [rows × columns] sizes of two series: the matrix that takes the coefficients of x(t) to
    /// those of w(t)·x(t), w the function of pieces. Needs most ≥ harmonics of both together.
    [[nodiscard]] Eigen::MatrixXd product(int rows, int columns) const;
    /// Coefficients of the function itself.
    [[nodiscard]] Eigen::VectorXd coefficients(int harmonics) const;
    [[nodiscard]] double mean() const;

  private:
    [[nodiscard]] double cosine(int j) const { return cosine_(j < 0 ? -j : j); }
    [[nodiscard]] double sine(int j) const { return j < 0 ? -sine_(-j) : sine_(j); }

    double omega_;
    Eigen::VectorXd cosine_, sine_;  ///< ∫ w·cos jωt dt, ∫ w·sin jωt dt
};

}  // namespace damper
