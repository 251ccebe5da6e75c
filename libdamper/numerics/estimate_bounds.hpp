// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/numerics/estimate_search.hpp"

#include <Eigen/Core>
#include <vector>

namespace damper {

/// Chi-square of one degree of freedom that 95 % stay below: 1.959964².
inline constexpr double chi_square_95 = 3.841459;

/// Where an unknown's interval ends on one side.
struct EstimateBound {
    double at = 0.0;
    bool open = true;  ///< At the end of the range the figures are still met.
};

/// Goes from the best point outward along one unknown, with the others set anew as well as they
/// can be, to where chi-square is 3.84 above `least`. `upward`: towards 1. `covariance` guides the
/// first guess of where that is and of the others there.
[[nodiscard]] EstimateBound profile_bound(EstimateSearch& search, const Eigen::VectorXd& best,
                                          double least, const Eigen::MatrixXd& covariance,
                                          Eigen::Index unknown, bool upward);

}  // namespace damper
