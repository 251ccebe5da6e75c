// SPDX-License-Identifier: MIT
#pragma once

#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// A figure that can be measured, and how well.
struct FigureScale {
    double error = 0.05;  ///< Standard deviation of the measurement, as a share of the value …
    double floor = 0.0;   ///< … and at least this, in the units of the figure; more than 0.
};

/// The scale on which figures are compared: asinh(value/floor), which is a logarithm where the
/// value is large and a straight line where it drowns in the floor.
[[nodiscard]] double on_scale(double value, const FigureScale& scale);
/// Standard deviation of a measurement of `value` on that scale, by the slope of it.
[[nodiscard]] double error_on_scale(double value, const FigureScale& scale);

/// What vehicles with one cause show: a row a simulated vehicle, a column a figure, on the scale.
/// NaN where a run does not give the figure.
using FigureRows = Eigen::MatrixXd;

/// A smooth cloud through the vehicles that were simulated with one cause.
///
/// The multivariate t distribution of 4 degrees of freedom (heavy tails: no model is that good)
/// about their mean, with their covariance drawn towards `common`, the one that all causes share,
/// as few vehicles know it poorly: weight n/(n + 2·d) for their own. K. P. Murphy, "Machine
/// Learning: A Probabilistic Perspective", 2012, sections 2.5.3 and 4.2.6 (recalled).
class FigureCloud {
  public:
    /// `rows` with at least 4 rows that have every figure are needed for a covariance; otherwise
    /// `common` is taken. Rows with NaN are left out figure by figure for the mean.
    FigureCloud(const FigureRows& rows, const Eigen::MatrixXd& common);

    /// log p(figures) of those that were measured (the others are empty), with the error of each
    /// measurement added to the cloud. 0 if none was.
    [[nodiscard]] double log_density(const std::vector<std::optional<double>>& values,
                                     const std::vector<double>& errors) const;
    [[nodiscard]] const Eigen::VectorXd& mean() const { return mean_; }
    /// Standard deviations of the vehicles, without errors of measurement.
    [[nodiscard]] Eigen::VectorXd deviation() const;

  private:
    Eigen::VectorXd mean_;
    Eigen::MatrixXd covariance_;
};

/// The covariance about their own means that all causes share.
[[nodiscard]] Eigen::MatrixXd common_covariance(const std::vector<FigureRows>& causes);

}  // namespace damper
