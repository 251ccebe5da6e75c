// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/compare_record.hpp"
#include "libdamper/results/study_head.hpp"

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A key that the search was free to choose.
struct TuneKeyRecord {
    StudyKey key;  ///< Without levels and choices.
    double low = 0.0, high = 0.0;
    double fitted = 0.0;  ///< Not a number if not known.
    bool logarithmic = false;
    std::string follower;  ///< A key that keeps its ratio to this one; may be empty.
    std::string why;       ///< Where the range comes from.
};

/// A scenario under a condition.
struct TuneCase {
    std::size_t scenario = 0, condition = 0;
    std::int64_t steps = 0;  ///< Of the solver with the fitted disc: what the case costs.
};

/// A measure with a limit, of one case.
struct TuneFigure {
    std::uint16_t measure = 0;  ///< In TuneRecord::measures.
    Grade grade = Grade::good;
    double value = 0.0;     ///< SI
    double margin = 0.0;    ///< As in Judgement.
    double position = 0.0;  ///< On the scale of its limits: 0 at good, −1 at bad; for climbing.
    bool aside = false;     ///< Out of reach, and no worse than allowed: does not count.
};

/// A disc that was tried.
struct TuneCandidate {
    enum class End : std::uint8_t {
        done,     ///< All its cases have figures.
        cut,      ///< So far behind the best after some cases that the others were left out.
        packing,  ///< Does not keep the packaging limits; nothing was run.
        refused,  ///< The description does not fit together; nothing was run.
        broken,   ///< A run did not come to its end.
    };
    End end = End::done;
    std::string origin;          ///< "fitted", "sample", "search 3".
    std::string message;         ///< Unless done or cut.
    double beyond = 0.0;         ///< Sum of the shares by which packaging limits are missed.
    std::vector<double> values;  ///< Of the keys, SI or factors.
    std::vector<std::vector<TuneFigure>> cases;  ///< By case; empty where not run.
};

/// One line of the packaging table.
struct TuneLimit {
    std::string what;
    std::string units;
    double limit = 0.0;
    bool at_most = true;
    double fitted = 0.0, tuned = 0.0;
    std::string source;
};

/// One of the two objectives of the front.
struct TuneObjective {
    std::string name;
    std::vector<std::pair<std::size_t, int>> parts;  ///< Case; measure, or −1: all of the case.
};

/// A limit so far out of reach of the discs strewn first that the disc is not what decides it. It
/// does not count, unless a disc is worse there than the fitted one by more than is allowed: then
/// that counts as a limit missed.
struct OutOfReach {
    std::size_t of_case = 0;
    std::uint16_t measure = 0;
    double best = 0.0;    ///< Of the discs strewn first; SI
    double fitted = 0.0;  ///< SI
};

/// A search for the best disc.
struct TuneRecord {
    RunIdentity identity;
    std::vector<CompareScenario> scenarios;
    std::vector<CompareCondition> conditions;
    std::vector<TuneCase> cases;  ///< In the order in which they are run: cheapest first.
    std::vector<TuneKeyRecord> keys;
    std::vector<TuneLimit> limits;
    std::vector<Judgement> measures;  ///< Name, units, limits and source alone.
    std::vector<std::string> left_out;
    std::vector<std::string> causes_left_out;  ///< They sit in the disc, which is searched for.
    std::string method;
    std::int64_t seed = 0, planned = 0;
    double depth = 0.0;  ///< Candidates are cut when their margin is this far below the best.
    std::vector<TuneCandidate> candidates;  ///< The fitted disc first.
    std::size_t best = 0;
    TuneObjective objectives[2];
    std::vector<std::size_t> front;  ///< Rising in the first objective.
    std::vector<OutOfReach> out_of_reach;
    double allowed = 0.0;  ///< Share by which what is out of reach may be worse than fitted.
    bool stopped = false;
    CompareRecord comparison;  ///< Fitted and tuned disc; without runs if it was stopped.
    std::string disc;          ///< The tuned disc as a description file.
    std::vector<std::pair<std::string, std::string>> changes;  ///< From the fitted to the tuned.

    [[nodiscard]] std::size_t count(TuneCandidate::End end) const {
        std::size_t out = 0;
        for (const TuneCandidate& one : candidates) out += one.end == end ? 1U : 0U;
        return out;
    }
};

}  // namespace damper
