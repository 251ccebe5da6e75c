// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/fit_disc.hpp"
#include "libdamper/fit/loop_problem.hpp"

namespace damper {

/// Fills the figures of a fit with their intervals, from the derivative of the residuals:
///
///     C = H⁻¹·M·H⁻¹,  H = JᵀJ,  M = Σ s²·(1 + ρ)/(1 − ρ)·JᵀJ over the runs, and JᵀJ of what is
///     held
///
/// s² is the mean square of a run's residuals, ρ the correlation of neighbours: residuals that hang
/// together count for fewer. Intervals are ±1.96 standard deviations.
void estimate(const LoopProblem& problem, const std::vector<GroupedRun>& runs,
              const LeastSquaresResult& found, DiscFit& fit);

}  // namespace damper
