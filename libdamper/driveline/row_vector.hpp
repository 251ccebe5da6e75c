// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>
#include <vector>

namespace damper {

/// A row g as a full vector over `n` inertias, so that the twist is g·θ. Entries that name the same
/// inertia add up.
[[nodiscard]] inline Eigen::VectorXd row_vector(const std::vector<RowEntry>& row, Eigen::Index n) {
    Eigen::VectorXd g = Eigen::VectorXd::Zero(n);
    for (const RowEntry& entry : row) g(entry.inertia) += entry.factor;
    return g;
}

}  // namespace damper
