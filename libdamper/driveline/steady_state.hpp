// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <vector>

namespace damper {

/// The state from which a run starts, solved instead of waited for.
struct SteadyState {
    State state;
    std::vector<double> acceleration;   ///< Uniform, of each inertia [rad/s²].
    std::vector<double> torque;         ///< Of each branch [N m].
    std::vector<double> smooth_torque;  ///< Of each smooth branch [N m].
};

/// All inertias turn at their reference speeds under the mean of every input at time 0. What does
/// not balance accelerates the driveline as a whole: it moves as a rigid body, with every twist
/// (and tyre slip) constant, as in a pull at constant torque. Where a tyre slips, the speeds depart
/// from the references by as little as possible, and drag and slip are those at the true speeds.
///
/// Friction between turning parts slips in the sense of its drift and carries its limit; friction
/// inside a spring stage starts relaxed, since its torque depends on a past that is not told.
/// Friction past which nothing turns yet holds its parts at rest as long as it can; several side
/// by side share the load in proportion to their limits, as far as that balances.
/// A crank-angle torque gives its inertia the speed that leaves its fluctuation without a mean.
///
/// Faces do what the reference speeds say at time 0: slip with their torque, or hold what is asked
/// of them; on ground they hold against the slope of the road too. Then no torque of a smooth law
/// is told.
///
/// Throws ModelError if the elements form a closed loop whose twists do not fit together, or if
/// a cell has other than one part that can hold a torque at rest.
[[nodiscard]] SteadyState steady_state(const Driveline& line);

/// The twist of a branch that carries `torque` [N m] at rest, friction relaxed; sets mode and
/// memory of its parts in `state`, which begin at `first_part`.
double settle(const Branch& branch, double torque, State& state, std::size_t first_part);

}  // namespace damper
