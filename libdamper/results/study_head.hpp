// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/run_record.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace damper {

/// A key that a study varies, as far as its results have to tell.
struct StudyKey {
    std::string key;                   ///< "disc.stages[0].stiffness"
    std::string asked;                 ///< As the user wrote it: "normal(nominal, 10 %)".
    std::string units;                 ///< Of the values, UDUNITS; "1" where the value multiplies.
    bool multiplies = false;           ///< The value is a factor on what the files say.
    std::vector<double> levels;        ///< Of a grid; else empty.
    std::vector<std::string> choices;  ///< Words to choose from; the value is their number from 0.
};

/// A measure that variants may have.
struct StudyMeasure {
    std::string name;
    std::string units;
    std::string definition;  ///< Empty if the scenario as it stands does not have it.
    Better better = Better::neither;
    bool has_limit = false;
    double good = 0.0, bad = 0.0;
    std::string source;    ///< Whose limit.
    double nominal = 0.0;  ///< Of the scenario as it stands; not a number if it does not have it.
};

/// What a study is, apart from its results: the head of every shard. The hashes say whether two
/// shards belong together; they leave out when and where it was run, and on how many machines.
struct StudyHead {
    RunIdentity identity;
    std::string verb;     ///< "vary" or "scatter".
    std::string design;   ///< "grid", "sobol", "random", "screening", "indices".
    std::string nominal;  ///< Grade of the scenario as it stands: "good", "watch" or "bad".
    std::string solver;
    std::int64_t asked = 0;  ///< Points, vehicles, trajectories or rows.
    std::int64_t total = 0;  ///< Variants.
    std::int64_t seed = 0;
    std::vector<StudyKey> keys;
    std::vector<StudyMeasure> measures;  ///< All known ones; shards name them by their number.
    std::string
        model_hash;  ///< SHA-256 over the files that were read and the changes made to them.
    std::string study_hash;  ///< SHA-256 over model, program version, keys, design and counts.
};

/// Fills both hashes.
void seal_head(StudyHead& head);

/// In what two heads differ, for people: "count: 500 there, 1000 here"; empty if their hashes
/// agree.
[[nodiscard]] std::string difference_of(const StudyHead& there, const StudyHead& here);

/// The head as text and back. Throws InputError if the text is none, or its hashes are not those
/// of its content.
[[nodiscard]] std::string head_text(const StudyHead& head);
[[nodiscard]] StudyHead head_of(const std::string& text);

}  // namespace damper
