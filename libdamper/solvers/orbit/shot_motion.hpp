// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/solvers/exact/shooting.hpp"
#include "libdamper/solvers/orbit/periodic_balance.hpp"

#include <cstdint>
#include <string>

namespace damper {

struct ShotSettings {
    int first_periods = 1;    ///< Of the first harmonic's, tried first, ≥ 1.
    int most_periods = 4;     ///< Twice, four times … as many are tried up to here.
    double tolerance = 1e-8;  ///< Of the speed swing, as OrbitSettings::tolerance.
    /// What is taken where that cannot be had, because a face is all but grazed; not below it.
    double good_enough = 1e-6;
    double speed_tolerance = 1e-5;    ///< Of the mean speed.
    std::int64_t most_passages = 40;  ///< Of one search.
};

/// A motion that the exact solver repeats, at a held mean speed.
struct ShotMotion {
    std::string why_not;  ///< Empty if found.
    Orbit orbit;
    Driveline line;        ///< With the torque that holds the mean speed as its last input.
    int periods = 1;       ///< Of the first harmonic's that it takes to repeat.
    int neutral = 0;       ///< Angles that nothing holds, besides that of all together.
    double balance = 0.0;  ///< Torque that keeps the mean speed [N m].
    double speed = 0.0;    ///< Mean, of the lead [rad/s].
};

/// Where contacts open and close too sharply for harmonic balance: a periodic motion by shooting
/// (find_orbit) from `guess`, a state near it. In shooting the period comes out; the torque that
/// holds the mean speed, at first that of `like`, is corrected until it is the one of the problem
/// (secant method).
///
/// `problem` as in PeriodicBalance, with a lead that turns; without inertia to balance the speed is
/// what it is. Throws ModelError as find_orbit does.
[[nodiscard]] ShotMotion shoot_motion(const PeriodicProblem& problem, const PeriodicMotion& like,
                                      const State& guess, const ShotSettings& settings = {},
                                      const Progress& progress = {});

/// Largest multiplier, in magnitude, that is not of an angle that nothing holds.
[[nodiscard]] double deciding_multiplier(const Orbit& orbit, int neutral);

}  // namespace damper
