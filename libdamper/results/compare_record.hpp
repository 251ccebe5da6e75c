// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/run_record.hpp"
#include "libdamper/signals/speed_course.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// One of the things compared: a disc, or the fitted one with changes.
struct CompareOption {
    std::string name;
    std::vector<std::pair<std::string, std::string>> changes;  ///< Key, value.
    bool fitted = false;  ///< The disc that the scenarios have as they stand.
    DiscLoop loop;        ///< Of its disc under the first condition of the first scenario.
};

struct CompareScenario {
    std::string name;
    std::string title;
    std::string vehicle;  ///< Title.
};

/// A change that a cause makes in the disc: it stays in the fitted one and comes with no other.
struct ChangeOfFitted {
    std::size_t change = 0;  ///< Index.
    std::string cause;
};

struct CompareCondition {
    std::string name;
    std::vector<std::pair<std::string, std::string>> changes;
    std::vector<ChangeOfFitted> of_fitted{};
};

/// An option in a scenario under a condition.
struct CompareVariant {
    std::size_t option = 0, scenario = 0, condition = 0;  ///< Indices.
    enum class End { done, bad_input, unsolved, not_reached };
    End end = End::not_reached;
    std::string message;  ///< Why there is no result.
    std::string disc;     ///< Title.
    Grade grade = Grade::good;
    std::string headline;
    std::vector<MeasureValue> measures;
    std::vector<Judgement> judgements;  ///< Worst first.
    SpeedCourse course;                 ///< Pull and overrun only.
};

/// A judgement of a variant.
struct CompareFinding {
    std::size_t variant = 0;
    std::size_t judgement = 0;
};

/// The same judgement with another option, in the same scenario and condition.
struct CompareChange {
    CompareFinding here;
    CompareFinding fitted;
    double gain = 0.0;  ///< Margin here less margin with the fitted disc.
};

/// Where an option stands among the others.
struct CompareRank {
    std::size_t option = 0;
    bool complete = true;                  ///< All its variants have a result.
    Grade grade = Grade::good;             ///< The worst of all.
    std::size_t missed = 0;                ///< Judgements that are bad …
    std::size_t watched = 0;               ///< … and those past good.
    std::vector<CompareFinding> findings;  ///< All of them, worst first.
    /// Measure by measure the condition and scenario where it loses or gains most against the
    /// fitted disc, largest first. Only where it crosses a limit or changes by a tenth of it.
    std::vector<CompareChange> losses, gains;
};

/// Discs × scenarios × conditions.
struct CompareRecord {
    RunIdentity identity;
    std::vector<CompareOption> options;
    std::vector<CompareScenario> scenarios;
    std::vector<CompareCondition> conditions;
    /// Causes in the fitted disc alone, with the condition that has them; empty: all have.
    std::vector<std::pair<std::string, std::string>> of_fitted;
    std::vector<CompareVariant> variants;  ///< Option by option, scenario by scenario.
    std::vector<CompareRank> ranking;      ///< Best first.

    [[nodiscard]] const CompareVariant& at(std::size_t option, std::size_t scenario,
                                           std::size_t condition) const {
        return variants[(option * scenarios.size() + scenario) * conditions.size() + condition];
    }
    [[nodiscard]] const Judgement& of(const CompareFinding& finding) const {
        return variants[finding.variant].judgements[finding.judgement];
    }
};

}  // namespace damper
