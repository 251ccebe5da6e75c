// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/bench_run.hpp"
#include "libdamper/fit/disc_search.hpp"
#include "libdamper/fit/loop_shape.hpp"

#include <string>
#include <vector>

namespace damper {

/// How far a figure is known.
enum class Known {
    measured,  ///< The loops show it.
    none,      ///< The loops show that there is none, or less than they can tell.
    open       ///< The loops do not show it; the value is what it was filled with.
};

/// A figure with the interval that holds it with 95 %, as far as the errors are those of the bench
/// and the disc is of the kind that is fitted.
struct Estimate {
    double value = 0.0;
    double low = 0.0, high = 0.0;
    Known known = Known::open;
};

/// A stage as fitted: stiffness [N m/rad], ends as total twists and the travel from one end to the
/// other [rad], full width of the loop and preload [N m].
struct FittedStage {
    Estimate drive_stiffness, coast_stiffness;
    Estimate drive_end, coast_end, travel;
    Estimate hysteresis, preload;
};

/// What a run had to say.
struct FittedRun {
    std::string name;
    int loops = 0;
    std::size_t samples = 0, groups = 0, left_out = 0;
    std::size_t passed_over = 0;  ///< Samples of loops beyond those that were fitted
    double torque_noise = 0.0, twist_noise = 0.0;  ///< Standard deviation of a sample [N m], [rad]
    double torque_zero = 0.0;                      ///< Mean zero of torque [N m]
    double drift = 0.0;                            ///< Of the zero, largest less smallest [N m]
    double misfit = 0.0;  ///< Root mean square of what is left, in standard deviations of a group
    /// Groups along the way, zero and drift taken off: twist [rad], torque [N m], what the disc
    /// gives there [N m], 1 where the twist grows.
    std::vector<double> twist, torque, law;
    std::vector<char> rising;
};

struct FitOptions {
    int stages = 0;  ///< 0: the data choose.
    /// Standard deviation of the bench's zero of torque, as a share of a run's largest torque.
    double zero_error = 0.005;
};

/// The disc that the loops of a bench speak for.
struct DiscFit {
    LoopShape shape;
    std::vector<FittedStage> stages;
    Estimate stop_stiffness, friction_grip, spline_play;
    LoopReach reach;
    double zero_twist = 0.0;  ///< Twist of the file at which the disc is at rest [rad]
    std::vector<FittedRun> runs;
    std::vector<TriedDisc> tried;    ///< Best first
    std::vector<std::string> notes;  ///< What the loops leave open and how it was filled
};

/// Fits a disc to runs of a torsion bench: all of the same disc in the same clamping, so that their
/// zero of twist is one. Ways through small angles, each with a fitting range of the torque sensor,
/// tell the inner stages; one way through all of it the outer ones.
///
/// Law: stages in series as in assemble/disc.hpp. Errors: white noise of torque and twist, a zero
/// of torque that is off and drifts. Friction washers with play of their own are not looked for.
///
/// Throws InputError (without place) if the runs do not make loops.
[[nodiscard]] DiscFit fit_disc(const std::vector<BenchRun>& runs, const FitOptions& options = {});

}  // namespace damper
