// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"

#include <map>
#include <string>
#include <vector>

namespace damper {

/// A word of a study file and where it stands.
struct StudyWord {
    std::string text;
    Place place;
    std::string path;  ///< "measures[1]"
};

/// KEY = VALUE of a table of a study file.
struct StudyPair {
    std::string key;
    StudyWord value;  ///< As it is written: "times 0.6..1.6:9".
};

/// A disc or a condition with its changes.
struct StudyNamed {
    StudyWord name;
    StudyWord part;  ///< Of a disc: name or file; may be empty.
    std::vector<StudyWord> causes;
    std::vector<StudyPair> changes;
};

/// What a study file says: the same as the options of the verb that it is for. Words and tables
/// are checked for their shape; what they mean is for the verb to say, with their places.
struct StudyFile {
    std::string study;  ///< "vary", "scatter", "tune" or "compare".
    std::string title;
    std::vector<StudyWord> scenarios;
    std::vector<StudyWord> causes;
    std::vector<StudyPair> changes;  ///< [set]
    std::vector<StudyPair> keys;     ///< [over], [spread] or [free]
    std::vector<StudyNamed> discs, conditions;
    std::vector<StudyWord> measures, left_out, front;
    /// Single values by option: "count", "seed", "design", "evaluations", "method", "drive_twist",
    /// "coast_twist", "stop_torque", "coast_stop_torque", "spring_work".
    std::map<std::string, StudyWord> values;
};

}  // namespace damper
