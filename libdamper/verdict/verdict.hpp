// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

enum class Grade { good, watch, bad };

/// A measure held against a limit.
struct Judgement {
    std::string measure;  ///< Key of the measure.
    std::string units;
    double value = 0.0;
    double good = 0.0;  ///< Still good up to here.
    double bad = 0.0;   ///< Bad beyond here; between the two: watch.
    Grade grade = Grade::good;
    double margin = 0.0;   ///< (good − value)/|good| for "less is better"; negative: missed.
    std::string source;    ///< Whose limit.
    std::string sentence;  ///< What was judged, in a workshop's words, and what else to know.
};

/// An expected interval of a measure, set by the scenario's author.
struct BandResult {
    std::string measure;
    std::string units;
    double low = 0.0;
    double high = 0.0;
    double value = 0.0;
    bool within = false;
    std::string source;
};

/// The outcome of a run in words.
struct Verdict {
    Grade grade = Grade::good;          ///< The worst of the judgements.
    std::string headline;               ///< One sentence.
    std::vector<std::string> reasons;   ///< Why, most telling first.
    std::vector<Judgement> judgements;  ///< Worst margin first.
    std::vector<BandResult> bands;
    std::vector<std::string> cautions;  ///< For the hands and ears that act on it.
};

}  // namespace damper
