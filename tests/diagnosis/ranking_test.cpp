// SPDX-License-Identifier: MIT
// Bayes' rule, information and clouds of figures against closed forms, exact enumeration and SciPy.
#include "libdamper/diagnosis/ranking.hpp"

#include "libdamper/diagnosis/answer_table.hpp"

#include "tests/support/near.hpp"
#include "tests/support/small_knowledge.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <numeric>

using namespace damper;
using damper::test::near;
using damper::testing::cause;
using damper::testing::question;

namespace {

/// Three causes, two questions of two and three choices; the second says nothing of the third
/// cause.
struct Small {
    QuestionList questions;
    ComplaintKind kind;
    Small() {
        questions.questions = {question("a", {{"yes", 1}, {"no", 1}}),
                               question("b", {{"cold", 1}, {"hot", 2}, {"both", 1}})};
        kind.questions = {"a", "b"};
        kind.causes = {
            cause("x", 1, {{"a", {{"yes", 9}, {"no", 1}}}, {"b", {{"cold", 1}, {"hot", 3}}}}),
            cause("y", 2, {{"a", {{"yes", 1}, {"no", 3}}}, {"b", {{"both", 1}}}}),
            cause("z", 5, {{"a", {{"yes", 1}, {"no", 1}}}})};
    }
};

}  // namespace

TEST_CASE("an answer that says once more what was measured does not count again") {
    Small small;
    small.questions.questions[0].same_as = "disc_runout";
    const std::vector<std::pair<std::string, std::string>> answers{{"a", "yes"}, {"b", "hot"}};
    CHECK(beside_measures(answers, small.questions, {"transfer"}) == answers);
    const auto left = beside_measures(answers, small.questions, {"transfer", "disc_runout"});
    REQUIRE(left.size() == 1);
    CHECK(left[0].first == "b");
}

TEST_CASE("chances of answers sum to one and keep room for wrong ones") {
    const Small small;
    for (const CandidateCause& one : small.kind.causes) {
        for (const Question& asked : small.questions.questions) {
            const auto chances = answer_chances(asked, one);
            CHECK(std::accumulate(chances.begin(), chances.end(), 0.0) == near(1.0, 1e-14));
            for (const double p : chances) CHECK(p >= wrong_answers / 3.0 - 1e-15);
        }
    }
    // 0.85·(9/10) + 0.15/2 by hand; usual weights 1:2:1 where nothing is said.
    CHECK(answer_chances(small.questions.questions[0], small.kind.causes[0])[0] ==
          near(0.84, 1e-12));
    CHECK(answer_chances(small.questions.questions[1], small.kind.causes[2])[1] ==
          near(0.85 * 0.5 + 0.15 / 3.0, 1e-12));
}

TEST_CASE("ranking is what enumeration of all worlds gives") {
    // Every combination of cause and answers with its joint probability; what was answered picks
    // the rows. T. Bayes' rule without a formula.
    const Small small;
    const std::vector<std::pair<std::string, std::string>> said{{"a", "yes"}, {"b", "hot"}};
    const double weight_sum = 8.0;
    std::vector<double> rows(3, 0.0);
    for (std::size_t c = 0; c < 3; ++c) {
        for (std::size_t i = 0; i < 2; ++i) {
            for (std::size_t j = 0; j < 3; ++j) {
                const double joint =
                    small.kind.causes[c].weight.si() / weight_sum *
                    answer_chances(small.questions.questions[0], small.kind.causes[c])[i] *
                    answer_chances(small.questions.questions[1], small.kind.causes[c])[j];
                if (i == 0 && j == 1) rows[c] += joint;
            }
        }
    }
    const double sum = rows[0] + rows[1] + rows[2];
    const auto ranking = rank_causes(small.kind, small.questions, "car", said, {}, {});
    const auto probabilities = in_order(ranking);
    for (std::size_t c = 0; c < 3; ++c) CHECK(probabilities[c] == near(rows[c] / sum, 1e-12));
    // By hand: 0.125·0.84·(0.85·0.75 + 0.05) = 0.0722; 0.25·0.2875·0.05 = 0.00359;
    // 0.625·0.5·0.475 = 0.1484.
    CHECK(probabilities[0] == near(0.0721875 / (0.0721875 + 0.00359375 + 0.1484375), 1e-5));
    for (std::size_t i = 1; i < ranking.size(); ++i) {
        CHECK(ranking[i - 1].probability >= ranking[i].probability);
    }
}

TEST_CASE("the order of answers does not matter, and evidence adds up to the posterior") {
    const Small small;
    const auto one =
        rank_causes(small.kind, small.questions, "car", {{"a", "no"}, {"b", "cold"}}, {}, {});
    const auto other =
        rank_causes(small.kind, small.questions, "car", {{"b", "cold"}, {"a", "no"}}, {}, {});
    for (std::size_t i = 0; i < one.size(); ++i) {
        CHECK(one[i].cause == other[i].cause);
        CHECK(one[i].probability == near(other[i].probability, 1e-12));
    }
    // Ratios of posteriors are ratios of priors times ten to the evidence.
    const auto total = [](const RankedCause& ranked) {
        double sum = std::log10(ranked.prior);
        for (const EvidenceWeight& weight : ranked.evidence) sum += weight.weight;
        return sum;
    };
    CHECK(total(one[0]) - total(one[1]) ==
          near(std::log10(one[0].probability / one[1].probability), 1e-10));
}

TEST_CASE("factors for a class change what is likely before any evidence") {
    Small small;
    small.kind.causes[2].classes = {{"heavy truck", 0.1}};
    CHECK(in_order(rank_causes(small.kind, small.questions, "car", {}, {}, {}))[2] ==
          near(5.0 / 8.0, 1e-12));
    CHECK(in_order(rank_causes(small.kind, small.questions, "heavy truck", {}, {}, {}))[2] ==
          near(0.5 / 3.5, 1e-12));
}

TEST_CASE("expected information of a binary symmetric question is one bit less its entropy") {
    // T. M. Cover, J. A. Thomas, "Elements of Information Theory", 2nd ed. 2006, equation 7.7: the
    // capacity of the binary symmetric channel is 1 − H(p), reached by even causes.
    QuestionList questions;
    questions.questions = {question("a", {{"yes", 1}, {"no", 1}})};
    ComplaintKind kind;
    for (const double share : {1.0, 0.9, 0.7, 0.5}) {
        kind.causes = {cause("x", 1, {{"a", {{"yes", share}, {"no", 1.0 - share}}}}),
                       cause("y", 1, {{"a", {{"yes", 1.0 - share}, {"no", share}}}})};
        const double p = 0.85 * (1.0 - share) + 0.075;
        const double noise = -p * std::log2(p) - (1.0 - p) * std::log2(1.0 - p);
        CHECK(expected_information({0.5, 0.5}, kind, questions.questions[0]) ==
              doctest::Approx(1.0 - noise).epsilon(1e-12));
    }
    CHECK(entropy({0.25, 0.25, 0.25, 0.25}) == near(2.0, 1e-14));
    CHECK(entropy({1.0, 0.0}) == 0.0);
}

TEST_CASE("a question that tells nothing has no information, and none has less than none") {
    const Small small;
    QuestionList questions = small.questions;
    const Question idle = question("c", {{"yes", 3}, {"no", 1}});
    CHECK(expected_information({0.2, 0.3, 0.5}, small.kind, idle) == doctest::Approx(0.0));
    for (const Question& one : questions.questions) {
        CHECK(expected_information({0.2, 0.3, 0.5}, small.kind, one) > 0.0);
        CHECK(expected_information({1.0, 0.0, 0.0}, small.kind, one) == doctest::Approx(0.0));
    }
}

TEST_CASE("the density of a cloud is SciPy's multivariate t") {
    // SciPy 1.10: multivariate_t(loc, shape = covariance·(ν−2)/ν, df = 4).logpdf; covariance
    // 5/9 numpy.cov + 4/9 common + 0.03² I, and the errors of measurement on its diagonal.
    FigureRows rows(5, 2);
    rows << 0.1, 1.0, 0.3, 0.7, -0.2, 1.4, 0.0, 0.9, 0.25, 1.2;
    Eigen::MatrixXd common(2, 2);
    common << 0.02, 0.0, 0.0, 0.05;
    const FigureCloud cloud(rows, common);
    CHECK(cloud.mean()(0) == near(0.09, 1e-12));
    CHECK(cloud.log_density({0.4, 0.6}, {0.05, 0.1}) == near(-1.3349215735226094, 1e-10));
    // Nothing measured tells nothing.
    CHECK(cloud.log_density({std::nullopt, std::nullopt}, {0.05, 0.1}) == 0.0);
}

TEST_CASE("the density over one figure sums to one") {
    FigureRows rows(6, 1);
    rows << 0.1, 0.4, -0.3, 0.2, 0.0, 0.6;
    const FigureCloud cloud(rows, Eigen::MatrixXd::Constant(1, 1, 0.04));
    double sum = 0.0;
    constexpr double step = 0.01;
    for (double x = -60.0; x < 60.0; x += step) {
        sum += step * std::exp(cloud.log_density({x}, {0.1}));
    }
    CHECK(sum == near(1.0, 1e-5));
}

TEST_CASE("rows that lack a figure do not move the others") {
    FigureRows rows(5, 2);
    rows << 0.1, 1.0, 0.3, 0.7, -0.2, 1.4, 0.0, 0.9, std::nan(""), 1.2;
    const FigureCloud cloud(rows, Eigen::MatrixXd::Identity(2, 2));
    CHECK(cloud.mean()(0) == near(0.05, 1e-12));
    CHECK(cloud.mean()(1) == near(1.04, 1e-12));
    CHECK(std::isfinite(cloud.log_density({0.1, 1.0}, {0.1, 0.1})));
}

TEST_CASE("the covariance that causes share is pooled about their own means") {
    FigureRows a(3, 1), b(2, 1);
    a << 0.0, 1.0, 2.0;
    b << 10.0, 12.0;
    // (2 + 2)/(2 + 1): sums of squares about 1 and 11 over the degrees of freedom.
    CHECK(common_covariance({a, b})(0, 0) == near(4.0 / 3.0, 1e-12));
}

TEST_CASE("the scale is a logarithm far above the floor and a line below it") {
    const FigureScale scale{.error = 0.05, .floor = 2.0};
    CHECK(on_scale(2000.0, scale) - on_scale(1000.0, scale) == near(std::log(2.0), 1e-5));
    CHECK(on_scale(0.02, scale) == near(0.01, 1e-4));
    CHECK(on_scale(-3.0, scale) == near(-on_scale(3.0, scale), 1e-14));
    CHECK(error_on_scale(1e6, scale) == near(0.05, 1e-6));
    CHECK(error_on_scale(0.0, scale) == near(1.0, 1e-12));
}

TEST_CASE("figures decide where answers cannot, and clouds far apart tell a whole bit") {
    Small small;
    small.kind.causes.resize(2);
    FigureRows near_zero(8, 1), near_three(8, 1);
    for (int i = 0; i < 8; ++i) {
        near_zero(i, 0) = 0.02 * i;
        near_three(i, 0) = 3.0 + 0.02 * i;
    }
    const std::vector<FigureGroup> groups = figure_groups({near_zero, near_three}, {"run"});
    SeenFigures seen{.values = {3.05}, .errors = {0.05}};
    const auto probabilities =
        in_order(rank_causes(small.kind, small.questions, "car", {}, groups, seen));
    CHECK(probabilities[1] > 0.99);
    CHECK(expected_information({0.5, 0.5}, groups.front(), {near_zero, near_three}, {0.05}) > 0.95);
    const std::vector<FigureGroup> same = figure_groups({near_zero, near_zero}, {"run"});
    CHECK(expected_information({0.5, 0.5}, same.front(), {near_zero, near_zero}, {0.05}) ==
          doctest::Approx(0.0));
}

TEST_CASE("groups of figures weigh apart: their logarithms add, an unseen one says nothing") {
    FigureRows a(6, 3), b(6, 3);
    for (int i = 0; i < 6; ++i) {
        a.row(i) << 0.1 * i, 0.3 * (i % 2), 0.02 * i;
        b.row(i) << 1.0 + 0.1 * i, 0.3 * (i % 3), 0.5 + 0.02 * i;
    }
    const auto groups = figure_groups({a, b}, {"press", "run", "press"});
    REQUIRE(groups.size() == 2);
    CHECK(groups[0].columns == std::vector<Eigen::Index>{0, 2});
    CHECK(groups[1].trust < 1.0);  // runs of one model share its faults
    Small small;
    small.kind.causes.resize(2);
    const std::vector<double> errors{0.1, 0.1, 0.1};
    const SeenFigures both{.values = {0.9, 0.2, 0.4}, .errors = errors};
    const SeenFigures press{.values = {0.9, std::nullopt, 0.4}, .errors = errors};
    const SeenFigures run{.values = {std::nullopt, 0.2, std::nullopt}, .errors = errors};
    const auto odds = [&](const SeenFigures& seen) {
        const auto p = in_order(rank_causes(small.kind, small.questions, "car", {}, groups, seen));
        return std::log(p[1] / p[0]);
    };
    const double prior =
        odds({.values = {std::nullopt, std::nullopt, std::nullopt}, .errors = errors});
    CHECK(prior == near(std::log(2.0), 1e-12));  // weights 1 and 2
    CHECK(odds(both) - prior == near(odds(press) - prior + odds(run) - prior, 1e-10));
    CHECK_FALSE(groups[1].seen_in(press.values));
    // A figure is told with the weight that it has alone: that of its group if nothing else is
    // seen.
    const SeenFigures one{.values = {std::nullopt, std::nullopt, 0.4}, .errors = errors};
    const auto of_press = [&](const SeenFigures& seen) {
        const auto ranking = rank_causes(small.kind, small.questions, "car", {}, groups, seen);
        const auto first = std::ranges::find(ranking, std::size_t{1}, &RankedCause::cause);
        return first->evidence.front();
    };
    REQUIRE(of_press(one).figures.size() == 1);
    CHECK(of_press(one).figures[0].first == 2);
    CHECK(of_press(one).figures[0].second == near(of_press(one).weight, 1e-12));
    REQUIRE(of_press(both).figures.size() == 2);
    CHECK(of_press(both).figures[1] == of_press(one).figures[0]);
}
