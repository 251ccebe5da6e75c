// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>
#include <cstddef>
#include <vector>

namespace damper {

/// What friction does for motions too small or too large for it.
enum class Friction {
    sticks,  ///< Grips: every slider adds its stiffness.
    slips,   ///< Gives way: sliders add nothing.
};

/// An element about a state: torque = spring·δ + damping·δ' with δ = row·θ.
struct LinearElement {
    Eigen::VectorXd row;   ///< g, one entry an inertia.
    double spring = 0.0;   ///< [N m/rad]
    double damping = 0.0;  ///< [N m s/rad]
};

/// M·θ'' + C·θ' + K·θ = 0 about a state, in its present modes. [n × n], n inertias.
struct Linearised {
    Eigen::VectorXd mass;       ///< Diagonal of M [kg m²]
    Eigen::MatrixXd damping;    ///< C [N m s/rad]
    Eigen::MatrixXd stiffness;  ///< K [N m/rad]
    /// What K and C are made of: the branches of the driveline in their order, then its smooth
    /// branches.
    std::vector<LinearElement> elements;
};
[[nodiscard]] Linearised linearise(const Driveline& line, const State& state, Friction friction);

/// The same with other stiffness [N m/rad] and damping [N m s/rad] in one of its elements.
void replace_element(Linearised& linear, std::size_t element, double spring, double damping);

}  // namespace damper
