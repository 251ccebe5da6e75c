// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/driveline/driveline.hpp"

#include <Eigen/Dense>
#include <complex>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace damper {

/// What is looked for: a motion that repeats itself every time an inertia (the engine) has turned
/// by an angle.
struct OrbitSettings {
    std::size_t lead = 0;         ///< The inertia whose angle counts.
    double angle = 0.0;           ///< By which it turns in a period [rad], > 0
    double longest_period = 0.0;  ///< A turn that takes longer counts as none [s], > 0
    int most_iterations = 20;
    std::int64_t most_passages = 1000;  ///< Turns that may be run through, with or without success.
    /// Of what remains after a period, speeds over the largest speed swing; 1e-12…1e-6
    double tolerance = 1e-10;
};

/// A periodic motion, or why there is none.
struct Orbit {
    bool found = false;
    std::string why_not;    ///< Empty if found.
    State start;            ///< On the orbit, at the angle of the guess.
    double period = 0.0;    ///< [s]
    double residual = 0.0;  ///< As in the settings' tolerance.
    int iterations = 0;
    std::int64_t passages = 0;      ///< Turns that were run through on the way.
    std::int64_t mode_changes = 0;  ///< In a period.

    /// Derivative of the state after a period over the state before it, the lead's angle held:
    /// other angles [rad], all speeds [rad/s], memories of friction that comes into play [rad].
    Eigen::MatrixXd monodromy;
    /// Its eigenvalues, largest magnitude first.
    std::vector<std::complex<double>> multipliers;
    bool stable = false;  ///< All inside the unit circle, not on it.
    /// How much of the motion that fades as `multipliers.front()` says is a common gain of speed of
    /// all inertias, each in proportion to its mean speed: 1 all of it, 0 nothing. Only drag holds
    /// the mean speed, so that it is often what comes to rest last.
    double mean_speed_share = 0.0;
    /// How the largest multiplier leaves, or would leave, the unit circle: "fold" (at 1), "period
    /// doubling" (at −1), "torus" (a pair); "grazing" if a face is just touched, where there is no
    /// derivative.
    std::string edge;
};

/// Looks for a periodic motion by Newton's method on the map from one passage of the lead's angle
/// to the next, from a state near it (the end of a run that has settled). The exact solver gives
/// the map, Variation its derivative, mode changes included. Where friction that never moves leaves
/// a family of motions, the nearest one is taken.
///
/// Throws ModelError for lines with smooth laws (see Variation), torques that depend on time, or
/// settings out of range.
[[nodiscard]] Orbit find_orbit(const Driveline& line, const State& guess,
                               const OrbitSettings& settings, const Progress& progress = {});

}  // namespace damper
