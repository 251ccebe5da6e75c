// SPDX-License-Identifier: MIT
#include "libdamper/outputs/compare_text.hpp"
#include "libdamper/outputs/compare_words.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <string>

using namespace damper;

namespace {

Judgement transfer(double value) {
    Judgement one;
    one.measure = "transfer";
    one.units = "1";
    one.value = value;
    one.good = 0.4;
    one.bad = 0.8;
    one.grade = value <= 0.4 ? Grade::good : value <= 0.8 ? Grade::watch : Grade::bad;
    one.margin = (0.4 - value) / 0.4;
    return one;
}

/// Two discs in one scenario; the ranking as given.
CompareRecord sample(double fitted, double other) {
    CompareRecord record;
    record.identity.inputs = {{"x.toml", "aa"}};
    record.options = {{"as fitted", {}, true, {}}, {"B <&> \"b\"", {{"disc", "b"}}, false, {}}};
    for (CompareOption& one : record.options) {
        one.loop.twist = {-0.1, 0.0, 0.1};
        one.loop.upward = {-9.0, 1.0, 11.0};
        one.loop.downward = {-11.0, -1.0, 9.0};
    }
    record.scenarios = {{"car_idle_cold", "Cold", "Car"}};
    record.conditions = {{"hot <b>", {{"a", "b"}}}};
    for (std::size_t o = 0; o < 2; ++o) {
        CompareVariant one;
        one.option = o;
        one.end = CompareVariant::End::done;
        one.judgements = {transfer(o == 0 ? fitted : other)};
        one.grade = one.judgements[0].grade;
        one.measures = {{"transfer", "1", "d", Better::less, one.judgements[0].value}};
        record.variants.push_back(one);
        CompareRank rank;
        rank.option = o;
        rank.grade = one.grade;
        rank.missed = one.grade == Grade::bad ? 1 : 0;
        rank.watched = one.grade == Grade::watch ? 1 : 0;
        rank.findings = {{o, 0}};
        record.ranking.push_back(rank);
    }
    if (other < fitted) {
        std::swap(record.ranking[0], record.ranking[1]);
        record.ranking[0].gains = {{{1, 0}, {0, 0}, (fitted - other) / 0.4}};
    } else {
        record.ranking[1].losses = {{{1, 0}, {0, 0}, (fitted - other) / 0.4}};
    }
    return record;
}

}  // namespace

TEST_CASE("a finding says measure, scenario, condition, value and limit") {
    CHECK(finding_words(sample(1.3, 0.3), {0, 0}) ==
          "swing of the input shaft over that of the flywheel in car_idle_cold (hot <b>), 1.3 "
          "against 0.4 (bad above 0.8)");
    CHECK(finding_words(sample(1.3, 0.3), {1, 0}).ends_with("0.3 against 0.4 (25 % in hand)"));
}

TEST_CASE("the choice: take, keep, or no disc meets all limits") {
    const auto take = choice_words(sample(1.3, 0.3));
    CHECK(take[0].starts_with("Take B <&> \"b\": it is good in everything; worst is swing of"));
    CHECK(take.back().starts_with("Better than the fitted disc: swing of the input shaft"));
    CHECK(take.back().find("0.3 instead of 1.3 (good instead of bad)") != std::string::npos);
    const auto keep = choice_words(sample(0.5, 0.7));
    CHECK(keep[0].starts_with("Keep as fitted: it meets every limit, 1 figure to be watched"));
    const auto none = choice_words(sample(1.3, 1.2));
    CHECK(
        none[0].starts_with("No disc meets all limits. B <&> \"b\" comes nearest: it misses 1 "
                            "limit of 1"));
}

TEST_CASE("two that hardly differ in their worst are told so") {
    CHECK(choice_words(sample(0.301, 0.3))[1].starts_with("as fitted is hardly worse"));
    CHECK(choice_words(sample(0.39, 0.3))[1].starts_with("Next is as fitted"));
}

TEST_CASE("the table marks what is to be watched and what is bad") {
    const std::string text = compare_text(sample(1.3, 0.6));
    CHECK(text.find("1.3!") != std::string::npos);
    CHECK(text.find("0.6?") != std::string::npos);
    CHECK(text.find("2 discs, 1 scenarios, 1 conditions: 2 runs.") == std::string::npos);
    CHECK(text.find("2 discs, 1 scenario, 1 condition: 2 runs.") != std::string::npos);
}

TEST_CASE("names from files are escaped on the page and quoted in the table") {
    const CompareRecord record = sample(1.3, 0.6);
    const std::string page = html_compare(record);
    CHECK(page.find("B <&>") == std::string::npos);
    CHECK(page.find("hot <b>") == std::string::npos);
    CHECK(page.find("B &lt;&amp;&gt;") != std::string::npos);
    for (const char* section : {"choice", "ranking", "matrix", "loops", "measures", "mind"}) {
        CHECK(page.find("id=\"" + std::string(section) + "\"") != std::string::npos);
    }
    CHECK(page.find("http://") == std::string::npos);
    const std::string csv = compare_csv(record);
    CHECK(csv.find("\"B <&> \"\"b\"\"\",car_idle_cold,hot <b>,transfer,1,0.6,0.4,0.8,watch,-0.5") !=
          std::string::npos);
    const auto json = nlohmann::json::parse(compare_json(record));
    CHECK(json["ranking"][0]["worst"]["value"] == 0.6);
    CHECK(json["variants"].size() == 2);
}
