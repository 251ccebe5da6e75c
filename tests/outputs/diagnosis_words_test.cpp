// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"

#include "libdamper/outputs/diagnosis_text.hpp"

#include <doctest/doctest.h>

using namespace damper;

namespace {

DiagnosisRecord record_of(const std::string& seat, double probability) {
    DiagnosisRecord record;
    DiagnosisCause first, second;
    first.title = "One thing";
    first.seat = seat;
    first.probability = probability;
    second.title = "Another";
    second.seat = "gearbox";
    second.probability = 1.0 - probability;
    record.causes = {first, second};
    DiagnosisOption own, other;
    own.disc = "own";
    own.fitted = true;
    other.disc = "other";
    record.options = {own, other};
    record.disc_run = "idle";
    record.disc_runs = {"idle", "tip_in"};
    return record;
}

bool tells(const std::vector<std::string>& sentences, const std::string& text) {
    for (const std::string& one : sentences) {
        if (one.find(text) != std::string::npos) return true;
    }
    return false;
}

}  // namespace

TEST_CASE("a probability has no more digits than an estimate") {
    CHECK(probability_text(0.9999) == "over 99 %");
    CHECK(probability_text(0.955) == "96 %");
    CHECK(probability_text(0.0314) == "3.1 %");
    CHECK(probability_text(4e-6) == "under 0.1 %");
    CHECK(probability_text(0.0) == "0.0 %");
}

TEST_CASE("where the damper does not matter one line says what holds for discs") {
    for (const char* seat : {"engine", "gearbox", "axle", "mounts", "use"}) {
        DiagnosisRecord record = record_of(seat, 0.95);
        record.options[1].helps = true;
        record.options[0].with_cause = Grade::bad;
        CHECK_FALSE(disc_matters(record));
        REQUIRE(disc_words(record).size() == 1);
        CHECK(tells(disc_words(record), "Another disc does not cure it"));
        CHECK(tells(disc_words(record), "Do not buy one for this."));
    }
    DiagnosisRecord open = record_of("engine", 0.44);
    CHECK(tells(disc_advice(open), "likeliest cause (44 %, seat: engine)"));
    CHECK(tells(disc_advice(open), "not settled: settle the cause before a disc is bought"));
    CHECK_FALSE(tells(disc_advice(open), "Do not buy"));
    open.causes[0].probability = 0.7;
    CHECK(tells(disc_advice(open), "not proven: settle the cause"));
    DiagnosisRecord facings = record_of("facings", 0.9);
    CHECK(tells(disc_advice(facings), "a new one of the kind that belongs there"));
    CHECK_FALSE(tells(disc_advice(facings), "Do not buy"));
    // A complaint that has no run of the damper: judder, slip, drag.
    DiagnosisRecord judder = record_of("disc", 0.9);
    judder.disc_run.clear();
    REQUIRE(disc_words(judder).size() == 1);
    CHECK(tells(disc_words(judder), "damper does not cause or cure this"));
}

TEST_CASE("where it is the disc the one that helps is named with its price") {
    DiagnosisRecord record = record_of("disc", 0.9);
    CHECK(tells(disc_advice(record), "take that kind"));
    record.options[1].helps = true;
    record.options[1].worse = {"twice the clunk"};
    CHECK(tells(disc_advice(record), "In idle other does better"));
    CHECK(tells(disc_advice(record), "the price: twice the clunk"));
    record.options[1].spoils = true;
    CHECK(tells(disc_advice(record), "not to be recommended"));
    record.causes[0].probability = 0.4;
    CHECK(tells(disc_advice(record), "not settled (40 %"));
    // Two causes in the disc together, while one outside leads.
    record = record_of("engine", 0.4);
    record.causes[1].seat = "disc";
    CHECK(tells(disc_advice(record), "something in the disc (60 % for all its causes together)"));
    record.disc_commands = {"damper compare idle", "damper compare tip_in --set vehicle=v"};
    CHECK(tells(disc_words(record), "Figures: damper compare idle; damper compare tip_in --set"));
}

TEST_CASE("what hides a cause is no cure, and a kept flywheel has its disc") {
    DiagnosisRecord record = record_of("engine", 0.7);
    record.causes[1].seat = "disc";  // so that discs are worth comparing at all
    record.options[0].with_cause = Grade::bad;
    record.options[1].with_cause = Grade::bad;
    CHECK(tells(disc_advice(record), "no disc of the class keeps idle"));
    record.options[1].with_cause = Grade::good;
    CHECK(tells(disc_advice(record), "hides it and cures nothing"));
    record.causes[0].seat = "flywheel";
    CHECK(tells(disc_advice(record), "other is the disc for it: good in idle"));
    CHECK_FALSE(tells(disc_advice(record), "does not cure"));
}

TEST_CASE("whether the fitted disc suits hangs on what others reach in all runs") {
    DiagnosisRecord record = record_of("disc", 0.9);
    for (auto& one : record.options) one.grade = Grade::bad;
    record.out_of_reach = {"in tip_in: jerk"};
    CHECK(tells(disc_words(record), "no disc of the class does better"));
    CHECK(tells(disc_words(record), "Set aside, since no disc of the class meets it, in tip_in"));
    record.options[1].grade = Grade::watch;
    CHECK(tells(disc_words(record), "does not suit this vehicle"));
    record.options.clear();
    CHECK(disc_words(record).empty());
}
