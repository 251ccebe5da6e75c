// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>
#include <string>
#include <vector>

namespace damper {

/// What friction does for motions too small or too large for it.
enum class Friction {
    sticks,  ///< Grips: every slider adds its stiffness.
    slips,   ///< Gives way: sliders add nothing.
};

/// One element about a state: it adds stiffness·g·gᵀ to K and damping·g·gᵀ to C.
struct LinearElement {
    std::string name;
    Eigen::VectorXd row;     ///< g: how its twist changes with the angle of each inertia.
    double stiffness = 0.0;  ///< [N m/rad]; 0 where it is free or slips.
    double damping = 0.0;    ///< [N m s/rad]
    /// Ties its inertias by their speeds alone and never by their angles, as a rolling tyre does.
    bool ties_speeds = false;
};

/// M·θ'' + C·θ' + K·θ = 0 about a state, in its present modes. [n × n], n inertias.
struct Linearised {
    Eigen::VectorXd mass;       ///< Diagonal of M [kg m²]
    Eigen::MatrixXd damping;    ///< C [N m s/rad]
    Eigen::MatrixXd stiffness;  ///< K [N m/rad]
    /// What K and C are the sum of: the branches in their order, then the smooth ones.
    std::vector<LinearElement> elements;
};
[[nodiscard]] Linearised linearise(const Driveline& line, const State& state, Friction friction);

}  // namespace damper
