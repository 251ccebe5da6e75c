// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"

#include <Eigen/Core>
#include <cstddef>
#include <functional>
#include <limits>
#include <vector>

namespace damper {

/// Unknowns of a model, each in its range brought to 0…1, and figures that were measured of it.
struct EstimateProblem {
    Eigen::Index unknowns = 0;
    /// Figures of the model; not a number where it gives none. Called from several threads, each
    /// with a `worker` of its own, 0 … threads − 1.
    std::function<Eigen::VectorXd(const Eigen::VectorXd& x, std::size_t worker)> figures;
    Eigen::VectorXd seen;    ///< As measured; NaN: could be, but was not.
    Eigen::VectorXd errors;  ///< Standard deviations, > 0; NaN: not known, of figures not measured.
    std::vector<Eigen::VectorXd> starts;  ///< To begin at, besides what is strewn.
};

struct EstimateSettings {
    int strewn = 0;           ///< Points strewn over all ranges; 0: 16 an unknown, 32…256.
    int climbs = 3;           ///< Searches, from the best of them that lie apart.
    double step = 0.01;       ///< Of differences, as a share of a range.
    double enough = 0.01;     ///< A search ends at steps that lower chi-square by less.
    bool scatter = true;      ///< The model is not smooth: find out by how much.
    bool bounds = true;       ///< Intervals by profile.
    std::size_t threads = 0;  ///< 0: as many as the processor runs at once.
};

/// 95 % interval of an unknown: the values that fit with the others set as well as they can be.
struct EstimateInterval {
    double low = 0.0, high = 1.0;
    bool low_open = true, high_open = true;  ///< Goes to the end of the range, or beyond.
    /// The profile stopped short of points that meet the figures as well (a bent or a second
    /// valley); the interval holds them.
    bool widened = false;
};

/// A combination of unknowns, of length 1, and how well the figures tell it.
struct EstimateDirection {
    Eigen::VectorXd along;
    double deviation = std::numeric_limits<double>::infinity();  ///< Standard; share of the ranges.
    bool told = false;  ///< Its 95 % interval is narrower than the ranges.
};

/// What measuring another figure would bring.
struct FurtherFigure {
    Eigen::Index figure = 0;
    double gain = 0.0;           ///< Information, in natural logarithms.
    Eigen::VectorXd deviations;  ///< Of the unknowns with it.
};

/// Unknowns that meet the figures best, and what is known of them.
struct ParameterEstimate {
    bool complete = false;  ///< False: stopped on the way; there are no intervals.
    Eigen::VectorXd x, figures;
    Eigen::VectorXd scatter;  ///< Of the model itself, standard deviation of each figure.
    Eigen::VectorXd errors;   ///< Of the comparison: of the measurement and the model's scatter.
    double chi_square = 0.0;
    int freedom = 0;  ///< Figures less the combinations that they tell.
    /// Of as large a chi-square by errors of measurement alone; NaN without freedom.
    double chance = std::numeric_limits<double>::quiet_NaN();
    Eigen::MatrixXd slopes;      ///< Of the figures by the unknowns.
    Eigen::MatrixXd covariance;  ///< Of the unknowns, (JᵀJ)⁻¹ with J in errors; huge where untold.
    /// Of the unknowns; one that the figures tell nothing of has that of its range, 1/√12.
    Eigen::VectorXd deviations;
    std::vector<EstimateInterval> intervals;
    std::vector<EstimateDirection> directions;  ///< Best told first.
    std::vector<FurtherFigure> further;         ///< Largest gain first.
    std::size_t evaluations = 0;
};

/// Weighted least squares of measured figures: strewn points (Sobol), Levenberg and Marquardt's
/// method from the best, covariance and singular values of the derivative in errors and ranges, and
/// intervals by profile: where the smallest chi-square with one unknown held lies 3.84 above the
/// smallest of all. The errors are taken as known. Does not depend on the number of threads.
///
/// Sources: W. H. Press et al., Numerical Recipes, 3rd ed., 2007, §15.6 (chi-square boundaries as
/// confidence limits; recalled); D. M. Bates, D. G. Watts, Nonlinear Regression Analysis and Its
/// Applications, 1988, ch. 6 (profiles; recalled). Throws ModelError if nothing was measured, an
/// error is missing, or the model gives the measured figures at no point that was tried.
[[nodiscard]] ParameterEstimate estimate_parameters(const EstimateProblem& problem,
                                                    const EstimateSettings& settings = {},
                                                    const Progress& progress = {});

}  // namespace damper
