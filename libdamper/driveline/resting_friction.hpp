// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>
#include <cstddef>

namespace damper {

/// Largest torque [N m] that an element made of friction alone can hold at rest; 0 if it cannot
/// hold any. Throws ModelError for friction in a chain of more than one cell.
[[nodiscard]] double holding_limit(const Branch& branch);

/// What friction does for a rigid-body motion that would begin from rest.
struct RestingFriction {
    Eigen::VectorXd share;         ///< Torque over limit of each friction element, −1…1.
    Eigen::VectorXd acceleration;  ///< Of the coordinates.
};

/// `mass` [m × m] and `force` [m] belong to the coordinates of the rigid-body motion; column h of
/// `row` [m × count] is the way friction element h acts on them and `limit` [N m] its limit, > 0.
///
/// Friction leaves the least acceleration that its limits allow, in the sense of Gauss's least
/// constraint: an element holds, or slips with its limit against the motion. How several that work
/// side by side share a load depends on a past that is not told; they are given equal shares of
/// their limits as far as that balances.
[[nodiscard]] RestingFriction resting_friction(const Eigen::MatrixXd& mass,
                                               const Eigen::VectorXd& force,
                                               const Eigen::MatrixXd& row,
                                               const Eigen::VectorXd& limit);

/// Sets mode and memory of the friction of `branch`, whose parts begin at `first_part`, so that it
/// carries `share` of its limit at `twist` [rad]: it grips inside the limit and slips at it.
void grip_with(const Branch& branch, double share, double twist, State& state,
               std::size_t first_part);

}  // namespace damper
