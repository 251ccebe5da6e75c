// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A measure as it was when the baseline was made. SI.
struct BaselineMeasure {
    std::string name;
    std::string units;
    double value = 0.0;       ///< Not a number where the run had none.
    double half_width = 0.0;  ///< Of its 95 % interval, where the run could tell one; else 0.
};

/// A signal at the times of its baseline. SI.
struct BaselineSignal {
    std::string name;
    std::string units;
    std::vector<double> values;
};

/// What a scenario gave at a time that was found good: small enough to be kept beside the
/// descriptions and read in a comparison of versions. Holds no time of day and no host, so that
/// the same run gives the same file.
struct Baseline {
    std::string scenario;
    std::string title;
    std::string manoeuvre;
    std::string program_version;
    std::vector<std::pair<std::string, std::string>> changes;  ///< Key, value.
    /// File, from the folder that the models folder lies in where it is in there; SHA-256.
    std::vector<std::pair<std::string, std::string>> inputs;
    std::vector<BaselineMeasure> measures;
    std::vector<double> time;  ///< Of all signals [s]; empty where the motion is chaotic.
    std::vector<BaselineSignal> signals;  ///< As many values each as there are times.
};

}  // namespace damper
