// SPDX-License-Identifier: MIT
// Whether what a ranking says holds as often as it says, by Murphy's parts of the Brier score.
#include "libdamper/diagnosis/answer_table.hpp"
#include "libdamper/diagnosis/ranking.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_knowledge.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <map>
#include <string>
#include <utility>
#include <vector>

using namespace damper;
using damper::test::near;
using damper::testing::cause;
using damper::testing::question;

namespace {

/// Forecasts with the chance that each is made, and what holds then.
struct Forecasts {
    struct Said {
        double chance = 0.0;
        std::vector<double> held;  ///< Joint chance of each outcome with this forecast.
    };
    std::map<std::vector<double>, Said> all;

    void add(const std::vector<double>& said, std::size_t outcome, double chance) {
        Said& one = all[said];
        one.held.resize(said.size());
        one.chance += chance;
        one.held[outcome] += chance;
    }
};

/// A. H. Murphy, A new vector partition of the probability score, J. Appl. Meteorology 12, 1973,
/// 595–600: score = reliability − resolution + uncertainty, over distinct forecasts.
struct Parts {
    double score = 0.0, reliability = 0.0, resolution = 0.0, uncertainty = 0.0;
};

Parts parts_of(const Forecasts& forecasts) {
    Parts out;
    const std::size_t outcomes = forecasts.all.begin()->first.size();
    std::vector<double> base(outcomes, 0.0);
    for (const auto& [said, one] : forecasts.all) {
        for (std::size_t k = 0; k < outcomes; ++k) base[k] += one.held[k];
    }
    for (const double share : base) out.uncertainty += share * (1.0 - share);
    for (const auto& [said, one] : forecasts.all) {
        for (std::size_t k = 0; k < outcomes; ++k) {
            const double often = one.held[k] / one.chance;
            out.reliability += one.chance * (said[k] - often) * (said[k] - often);
            out.resolution += one.chance * (often - base[k]) * (often - base[k]);
            // The score by its definition: G. W. Brier, Verification of forecasts expressed in
            // terms of probability, 1950.
            for (std::size_t j = 0; j < outcomes; ++j) {
                const double hit = j == k ? 1.0 : 0.0;
                out.score += one.held[j] * (said[k] - hit) * (said[k] - hit);
            }
        }
    }
    return out;
}

/// Four causes and three questions, of which one may stay open.
struct World {
    QuestionList questions;
    ComplaintKind kind;
    World() {
        questions.questions = {question("when", {{"cold", 1}, {"hot", 1}, {"always", 2}}),
                               question("pedal", {{"same", 3}, {"gone", 1}}),
                               question("since", {{"suddenly", 1}, {"growing", 2}})};
        kind.questions = {"when", "pedal", "since"};
        kind.causes = {
            cause("spring", 4, {{"when", {{"hot", 4}, {"always", 1}}}, {"pedal", {{"gone", 1}}}}),
            cause("wear", 2, {{"since", {{"growing", 9}, {"suddenly", 1}}}}),
            cause("oil", 1, {{"when", {{"cold", 6}, {"hot", 1}}}, {"pedal", {{"gone", 1}}}}),
            cause("engine", 3, {{"pedal", {{"same", 1}}}, {"since", {{"suddenly", 1}}}})};
    }
};

/// Every world there is: a cause, answers to all questions, and the last of them given or not.
/// What holds is by `truth`, what is said by `believed`.
Forecasts enumerate(const World& truth, const World& believed) {
    Forecasts out;
    double sum = 0.0;
    for (const CandidateCause& one : truth.kind.causes) sum += one.weight.si();
    for (std::size_t c = 0; c < truth.kind.causes.size(); ++c) {
        const auto chances = [&](std::size_t q) {
            return answer_chances(truth.questions.questions[q], truth.kind.causes[c]);
        };
        const auto when = chances(0), pedal = chances(1), since = chances(2);
        for (std::size_t i = 0; i < when.size(); ++i) {
            for (std::size_t j = 0; j < pedal.size(); ++j) {
                for (std::size_t k = 0; k <= since.size(); ++k) {
                    std::vector<std::pair<std::string, std::string>> said{
                        {"when", truth.questions.questions[0].choices[i].name},
                        {"pedal", truth.questions.questions[1].choices[j].name}};
                    const bool open = k == since.size();
                    if (!open) {
                        said.emplace_back("since", truth.questions.questions[2].choices[k].name);
                    }
                    const double chance = truth.kind.causes[c].weight.si() / sum * when[i] *
                                          pedal[j] * (open ? 0.25 : 0.75 * since[k]);
                    out.add(in_order(rank_causes(believed.kind, believed.questions, "car", said, {},
                                                 {})),
                            c, chance);
                }
            }
        }
    }
    return out;
}

}  // namespace

TEST_CASE("in the world that a ranking believes in, what it says holds exactly as often") {
    const World world;
    const Parts parts = parts_of(enumerate(world, world));
    CHECK(parts.score == near(parts.reliability - parts.resolution + parts.uncertainty, 1e-12));
    CHECK(parts.reliability < 1e-24);
    CHECK(parts.uncertainty == near(0.4 * 0.6 + 0.2 * 0.8 + 0.1 * 0.9 + 0.3 * 0.7, 1e-12));
    CHECK(parts.resolution > 0.2);
    CHECK(parts.score < parts.uncertainty);
}

TEST_CASE("a ranking that believes in other shares of causes pays in reliability alone") {
    // Answers sort the worlds as before, so that resolution and uncertainty stay what they are
    // (distinct forecasts stay distinct); the score rises by what the forecasts are off.
    const World truth;
    World believed;
    believed.kind.causes[2].weight = Ratio::from_si(8.0);
    const Parts right = parts_of(enumerate(truth, truth));
    const Parts wrong = parts_of(enumerate(truth, believed));
    CHECK(wrong.score == near(wrong.reliability - wrong.resolution + wrong.uncertainty, 1e-12));
    CHECK(wrong.resolution == near(right.resolution, 1e-12));
    CHECK(wrong.uncertainty == near(right.uncertainty, 1e-12));
    CHECK(wrong.reliability > 0.02);
    CHECK(wrong.score == near(right.score + wrong.reliability, 1e-12));
}
