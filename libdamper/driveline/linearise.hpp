// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>

namespace damper {

/// What friction does for motions too small or too large for it.
enum class Friction {
    sticks,  ///< Grips: every slider adds its stiffness.
    slips,   ///< Gives way: sliders add nothing.
};

/// M·θ'' + C·θ' + K·θ = 0 about a state, in its present modes. [n × n], n inertias.
struct Linearised {
    Eigen::VectorXd mass;       ///< Diagonal of M [kg m²]
    Eigen::MatrixXd damping;    ///< C [N m s/rad]
    Eigen::MatrixXd stiffness;  ///< K [N m/rad]
};
[[nodiscard]] Linearised linearise(const Driveline& line, const State& state, Friction friction);

}  // namespace damper
