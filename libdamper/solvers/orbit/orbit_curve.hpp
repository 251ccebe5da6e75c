// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/solvers/orbit/periodic_balance.hpp"

#include <functional>
#include <string>
#include <vector>

namespace damper {

/// A driveline for every value of a parameter (engine speed, a stiffness, …). Only numbers may
/// change with it: inertias and elements stay the same ones.
using PeriodicFamily = std::function<PeriodicProblem(double parameter)>;

struct CurveSettings {
    double from = 0.0, to = 0.0;  ///< Of the parameter; to ≠ from.
    int least_harmonics = 8;
    int most_harmonics = 48;
    double truncation = 1e-3;    ///< Of the speed swing; more harmonics are taken until below.
    double largest_step = 0.03;  ///< Of the range of the parameter.
    double smallest_step = 1e-5;
    double angle_scale = 0.1;  ///< Of twists, against the range of the parameter [rad].
    int most_points = 2000;
};

/// A motion on the curve.
struct CurvePoint {
    double parameter = 0.0;
    PeriodicMotion motion;
    bool is_fold = false;  ///< The parameter turns round here.
};

/// Where the curve turns round, interpolated.
struct CurveFold {
    double parameter = 0.0;
    std::size_t point = 0;  ///< The point next to it.
};

/// A piece of curve, in the order in which it was followed, and why it ends.
struct OrbitCurve {
    std::vector<CurvePoint> points;
    std::vector<CurveFold> folds;
    bool complete = false;  ///< It reached `to`.
    std::string why_not;
    int evaluations = 0;
};

/// Follows periodic motions from a first one over the parameter, past folds: pseudo-arc-length
/// continuation with a secant as predictor and Newton's method beside it.
///
/// `first` is a motion at settings.from or near one. Harmonics are added where those left out would
/// move something (see PeriodicMotion::truncation).
///
/// Source of the method: H. B. Keller, Numerical solution of bifurcation and nonlinear eigenvalue
/// problems, in: Applications of Bifurcation Theory, Academic Press 1977 (recalled).
[[nodiscard]] OrbitCurve follow_orbits(const PeriodicFamily& family, const PeriodicMotion& first,
                                       const CurveSettings& settings,
                                       const Progress& progress = {});

/// A motion of the family at a parameter, from a guess of any number of harmonics: Newton's method,
/// with harmonics added until `settings.truncation` holds.
struct SolvedMotion {
    bool found = false;
    std::string why_not;
    PeriodicMotion motion;
};
[[nodiscard]] SolvedMotion solve_motion(const PeriodicProblem& problem, const PeriodicMotion& guess,
                                        const CurveSettings& settings);

/// A guess without swing: the twists of the problem's start.
[[nodiscard]] PeriodicMotion resting_motion(const PeriodicProblem& problem, int harmonics);

/// The same with the torque that holds the mean speed, and the twists it asks for: the motion that
/// there would be if the inputs had no swing. Without one, resting_motion.
[[nodiscard]] PeriodicMotion steady_motion(const PeriodicProblem& problem, int harmonics);

/// The series of the last period of a run of the exact solver.
struct SettledMotion {
    std::string why_not;  ///< Empty if the run came to its end.
    PeriodicMotion motion;
    State start;  ///< Where that period begins: from here a run goes on.
};
/// Runs through `periods` of the problem from `start`, whose time is a whole number of periods, and
/// takes the last.
[[nodiscard]] SettledMotion settled_motion(const PeriodicProblem& problem, const State& start,
                                           int periods, int harmonics);

}  // namespace damper
