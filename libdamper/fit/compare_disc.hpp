// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/fit_disc.hpp"
#include "libdamper/parts/disc.hpp"

#include <string>
#include <vector>

namespace damper {

/// How a measured figure stands to what it should be.
enum class Standing {
    within,   ///< Inside its tolerance, its interval too
    edge,     ///< The tolerance lies inside the interval: not decided
    outside,  ///< Outside with its whole interval
    open      ///< Not measured
};

/// One figure against nominal.
struct Deviation {
    std::string key;  ///< As in a disc file: "stages[0].stiffness"
    double nominal = 0.0, tolerance = 0.0;
    double deviation = 0.0;  ///< Measured less nominal; over nominal if `relative`
    double error = 0.0;      ///< Half of its 95 % interval
    bool relative = false;
    Standing standing = Standing::open;
};

struct DiscComparison {
    std::vector<Deviation> deviations;
    std::vector<std::string> findings;  ///< In sentences, gravest first
    bool within = true;                 ///< Nothing is outside
};

/// Drawing tolerances of a new plate: stiffness ±10 % (innermost of several stages ±20 %),
/// hysteresis ±30 % (±40 %), ends ±1 deg, preload ±30 %, play 0.5 deg. Common practice, no source;
/// they are no service limits.
struct DiscTolerances {
    double stiffness = 0.10, first_stiffness = 0.20;
    double hysteresis = 0.30, first_hysteresis = 0.40;
    double preload = 0.30;
    double end = 0.0174532925199432958;    ///< [rad]
    double play = 0.00872664625997164788;  ///< [rad]
};

/// Compares a fit with what the disc should be: its description as new (factor 1, no spring
/// broken). A stiffness that is missing the share of whole springs is called so where the
/// description states their number; friction, stops and play are judged by the sign of their
/// deviation.
[[nodiscard]] DiscComparison compare_disc(const DiscFit& fit, const Disc& nominal,
                                          const DiscTolerances& tolerances = {});

}  // namespace damper
