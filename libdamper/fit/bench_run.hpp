// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// Torque and twist as a bench recorded them, in the order in which they were measured.
struct BenchRun {
    std::string name;
    std::vector<double> twist;   ///< [rad]
    std::vector<double> torque;  ///< [N m]
};

/// A stretch of a run in which the twist goes one way.
struct BenchBranch {
    double from = 0.0, to = 0.0;     ///< Twist at its ends [rad]
    std::size_t begin = 0, end = 0;  ///< Samples [begin, end)
    bool from_end = false;  ///< Begins at the lowest or highest twist of the run, or with the run
    [[nodiscard]] bool rising() const { return to > from; }
};

/// Means of a few samples that follow each other: what is fitted. Errors of the twist average out
/// like those of the torque, and no sample is sorted by a value that is in error.
struct BenchGroup {
    double twist = 0.0, torque = 0.0;
    double span = 0.0;      ///< Twist that the samples go through, signed along the way [rad]
    double position = 0.0;  ///< In the run, 0…1
    double samples = 0.0;
    std::size_t branch = 0;
};

/// A run cut into branches and groups.
struct GroupedRun {
    std::string name;
    std::vector<BenchBranch> branches;
    std::vector<BenchGroup> groups;                ///< Branch by branch, along the way.
    double low = 0.0, high = 0.0;                  ///< Outermost turning points [rad]
    double torque_range = 0.0;                     ///< Largest minus smallest torque [N m]
    double twist_noise = 0.0, torque_noise = 0.0;  ///< Standard deviation of one sample
    int loops = 0;                                 ///< Whole ones, there and back
    std::size_t left_out = 0;     ///< Samples before the first turning point that are not used
    std::size_t passed_over = 0;  ///< Samples of loops beyond those that are fitted
};

/// Cuts a run at its turning points: where the twist has come back by more than its noise and 2 %
/// of the range. Samples before the first turning point are left out if the same way is gone again,
/// for nobody knows where the friction began. About `groups` groups, none with less than one
/// sample. Of more than six loops over the whole range six are grouped, spread over the run.
///
/// Noise is that of neighbouring samples against each other (median of second differences), which
/// a slow drift and the motion itself do not enter.
///
/// Throws InputError (without place) if the twist does not go up and down or goes farther than 270
/// deg, or torque falls with it.
[[nodiscard]] GroupedRun grouped(const BenchRun& run, std::size_t groups);

}  // namespace damper
