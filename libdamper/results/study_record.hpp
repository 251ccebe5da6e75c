// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_head.hpp"

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A limit held against all variants that have its measure.
struct StudyLimit {
    std::string measure, units;
    double nominal = 0.0, good = 0.0, bad = 0.0;
    std::int64_t judged = 0;                    ///< Variants that have the measure.
    std::int64_t watch = 0;                     ///< Beyond good, not beyond bad.
    std::int64_t beyond = 0;                    ///< Beyond bad.
    double share = 0.0, low = 0.0, high = 1.0;  ///< Beyond bad, with its 95 % interval.
    std::string key;         ///< Of the variable that explains most of the measure; may be empty.
    double explained = 0.0;  ///< Its share of the variance.
    double share_at_low = 0.0, share_at_high = 0.0;  ///< Beyond, in its lowest and highest fifth.
};

/// How a measure lies over the variants that have it.
struct StudyStatistic {
    std::string measure, units;
    double nominal = 0.0;
    std::int64_t count = 0;
    double mean = 0.0, deviation = 0.0;
    double least = 0.0, fifth = 0.0, median = 0.0, ninety_fifth = 0.0, most = 0.0;
    std::int64_t least_variant = 0, most_variant = 0;
};

/// What of a measure's variance a key explains by itself, from the variants as they are.
struct StudyInfluence {
    std::string measure, key;
    double explained = 0.0;
    double correlation = 0.0;  ///< Its sign says which way.
};

/// Elementary effects, per whole range of the key.
struct StudyEffect {
    std::string measure, units, key;
    double mean = 0.0, mean_absolute = 0.0, deviation = 0.0;
    std::int64_t effects = 0;
};

/// Shares of variance with 95 % intervals.
struct StudyIndex {
    std::string measure, key;
    double first = 0.0, first_low = 0.0, first_high = 0.0;
    double total = 0.0, total_low = 0.0, total_high = 0.0;
};

struct StudyFailure {
    std::int64_t variant = 0;
    std::string why;
};

/// The variants of a study, column by column, and what they say together.
struct StudyRecord {
    StudyHead head;
    std::vector<std::int64_t> variants;            ///< Numbers of those that are there, rising.
    std::vector<std::int8_t> ended;                ///< 0 done, 1 refused, 2 broken off.
    std::vector<std::vector<double>> values;       ///< [key][row]
    std::vector<std::size_t> present;              ///< Measures that some variant has, by number.
    std::vector<std::vector<double>> measures;     ///< [present][row]; not a number where absent.
    std::vector<std::vector<std::int8_t>> grades;  ///< [present][row] 0 good … 2 bad; −1: none.

    std::int64_t refused = 0, broken = 0, duplicates = 0;
    std::vector<StudyFailure> failures;  ///< The first ones; the counts say how many there are.
    std::vector<std::pair<std::int64_t, std::int64_t>> missing;  ///< From, to; both included.
    std::int64_t missing_count = 0;

    std::int64_t any_beyond = 0;  ///< Variants that miss some limit.
    double any_share = 0.0, any_low = 0.0, any_high = 1.0;
    std::vector<StudyLimit> limits;
    std::vector<StudyStatistic> statistics;
    std::vector<StudyInfluence> influences;
    std::vector<StudyEffect> effects;
    std::vector<StudyIndex> indices;

    [[nodiscard]] std::int64_t done() const {
        return static_cast<std::int64_t>(variants.size()) - refused - broken;
    }
};

}  // namespace damper
