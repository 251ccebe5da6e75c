// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>

namespace damper {

/// What a run started from. Plain numbers; wording belongs to the outputs.
struct StartReport {
    std::string asked = "steady";  ///< "steady" or "periodic".
    bool periodic = false;         ///< A stable periodic motion was found; the run started on it.
    double cycles = 0.0;           ///< Its period in engine cycles; a firing may be a part of one.
    double period = 0.0;           ///< [s]
    double multiplier = 0.0;       ///< Largest magnitude: what a period leaves of a disturbance.
    double next_multiplier = 0.0;  ///< Next largest magnitude.
    bool mean_speed = false;       ///< The largest is that of the mean speed.
    std::string edge = {};         ///< Orbit::edge
    std::string why_not = {};      ///< Why no such motion was found, if it was looked for.
    std::int64_t cycles_run = 0;   ///< Engine cycles that were run through before the run.
};

/// What ended a run.
struct StopReport {
    /// "length": at the length asked for. "certain", "quiet", "repeats": enough was known.
    /// "longest": not enough was known by then.
    std::string reason = "length";
    double share = 0.0;  ///< Half width asked for, relative; 0: a fixed length was asked for.
    double share_reached = 0.0;  ///< Of the worse of both rates; infinite if there is no interval.
    double longest = 0.0;        ///< Longest time to be measured [s]; 0 with a fixed length.
    std::int64_t cycles = 0;     ///< Whole engine cycles measured; 0 where they are not counted.
};

}  // namespace damper
