// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/baseline.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// What a value of a run was held against.
enum class CheckedAgainst {
    band,             ///< Of the scenario.
    baseline,         ///< A measure of the stored baseline.
    baseline_signal,  ///< A signal of the stored baseline, at its worst time.
};

/// One value held against an interval. SI.
struct CheckedValue {
    std::string name;  ///< Of the measure or signal.
    std::string units;
    CheckedAgainst against = CheckedAgainst::band;
    double value = 0.0;  ///< Not a number: the run has no such value.
    double low = 0.0;
    double high = 0.0;
    double expected = 0.0;  ///< Of the baseline; in a band its middle.
    double time = 0.0;      ///< Of a signal's worst sample [s].
    /// Distance to the nearer bound as a share of half the interval: 1 in the middle, 0 on a bound,
    /// negative outside; in a band that begins at zero, to the upper bound as a share of it; −∞ if
    /// there is nothing to compare.
    double margin = 0.0;
    bool kept = false;
    std::string why;  ///< Where the interval comes from, or why there is nothing to compare.
};

/// How the check of one scenario ended.
enum class CheckEnd {
    kept,         ///< All bands and baselines.
    missed,       ///< One of them at least, or its baseline is missing.
    unchanged,    ///< Not run: same inputs, same program as when it was last kept.
    bad_input,    ///< Could not be read.
    unsolved,     ///< The solver could not finish.
    not_reached,  ///< The check was interrupted before.
};

/// What became of one scenario.
struct CheckedScenario {
    std::string name;
    std::string title;
    std::string vehicle;  ///< Title.
    std::string file;
    CheckEnd end = CheckEnd::not_reached;
    std::string message;               ///< Why it was not read, solved or compared; may be empty.
    std::vector<std::string> notes;    ///< What to know beside.
    std::vector<CheckedValue> values;  ///< Smallest margin first.
    Grade grade = Grade::good;         ///< Of its verdict, where it was run; does not count here.
    Baseline now;                      ///< What a baseline made of this run would hold.
    double seconds = 0.0;              ///< Time it took; of no interest to comparisons.
};

/// A check of many scenarios.
struct CheckReport {
    std::string program_version;
    std::string command_line;
    std::string baseline_folder;  ///< Empty: bands alone.
    std::vector<CheckedScenario> scenarios;
    std::vector<std::string> notes;
    double seconds = 0.0;     ///< From beginning to end.
    std::size_t threads = 1;  ///< Told with the times.

    [[nodiscard]] std::size_t count(CheckEnd end) const {
        std::size_t sum = 0;
        for (const CheckedScenario& one : scenarios) sum += one.end == end ? 1 : 0;
        return sum;
    }
};

}  // namespace damper
