// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_text.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"

#include "tests/support/has_text.hpp"

#include <doctest/doctest.h>

using namespace damper;
using damper::testing::has;

namespace {

DiagnosisFigure figure_of(const char* name, const char* units, double seen, double low,
                          double high) {
    DiagnosisFigure out;
    out.name = name;
    out.units = units;
    out.shown_by = "run";
    out.seen = seen;
    out.error = 0.01;
    out.healthy = 0.5 * (low + high);
    out.healthy_low = low;
    out.healthy_high = high;
    return out;
}

DiagnosisCause cause_of(const char* title, double prior, double probability) {
    DiagnosisCause out;
    out.name = out.title = title;
    out.seat = "facings";
    out.prior = prior;
    out.probability = probability;
    return out;
}

/// A judder with a share of its swing that sound vehicles, which hardly swing, have anyhow.
DiagnosisRecord judder() {
    DiagnosisRecord record;
    record.title = "Judders";
    record.symptom = "judder";
    record.figures = {figure_of("slip_order_share", "1", 0.2, 0.05, 0.95),
                      figure_of("judder_acceleration", "m/s2", 1.9, 0.02, 0.1)};
    DiagnosisCause first = cause_of("Glazed", 0.2, 0.97), second = cause_of("Crooked", 0.15, 0.008),
                   third = cause_of("Rare", 0.01, 0.001), fourth = cause_of("Open", 0.64, 0.02);
    first.middle = {0.25, 1.8};
    first.low = {0.1, 1.0};
    first.high = {0.4, 3.0};
    second.middle = {0.9, 1.7};
    second.low = {0.8, 0.9};
    second.high = {1.0, 2.8};
    third.middle = third.low = third.high = first.middle;
    fourth.middle = fourth.low = fourth.high = first.middle;
    first.evidence = {{"run", "What recordings show", "", 0.9, {0, 1}}};
    second.evidence = {{"run", "What recordings show", "", -0.9, {0}},
                       {"rate", "Does it keep its rate?", "Yes", -0.5, {}},
                       {"since", "Since when?", "It grew", -0.2, {}},
                       {"smell", "Smell?", "Once", 0.4, {}}};
    record.causes = {first, fourth, second, third};
    record.clutch_probability = 1.0;
    return record;
}

}  // namespace

TEST_CASE("the share of a swing is not held against sound vehicles, which hardly swing") {
    const DiagnosisRecord record = judder();
    const std::string line = evidence_for(record, record.causes[0]).at(0);
    CHECK(has(line, "1.9 m/s² (sound 0.06 m/s², with it 1.8 m/s²)"));
    CHECK(has(line, "0.2 (with it 0.25)"));
    CHECK_FALSE(has(line, "as in sound vehicles"));
    CHECK_FALSE(has(line, "other causes would show here"));
    CHECK_FALSE(sound_tells(record, 0));
    CHECK(sound_tells(record, 1));
    DiagnosisRecord narrow = judder();
    narrow.figures[0].healthy_low = 0.7;  // whatever they have in common
    CHECK_FALSE(sound_tells(narrow, 0));
    // Nor is anything else of which sound vehicles show all that there is.
    DiagnosisRecord wide = judder();
    wide.figures[1].healthy_high = 3.0;
    CHECK_FALSE(sound_tells(wide, 1));
    // Where nothing swings beyond the usual, the share of it says nothing; the rest may.
    DiagnosisRecord usual = judder();
    usual.figures[1].seen = 0.05;
    const std::string calm = evidence_for(usual, usual.causes[0]).at(0);
    CHECK(has(calm, "0.05 m/s²: as in sound vehicles; other causes would show here"));
    CHECK_FALSE(has(calm, "with it"));
    usual.causes[0].evidence[0].weight = -0.9;  // as sound, and the cause would show
    CHECK(has(evidence_against(usual, usual.causes[0]).at(0),
              "0.05 m/s² (as in sound vehicles; with it 1.8 m/s²)"));
}

TEST_CASE(
    "a cause that was notable and is hardly one now is ruled out by what says most against it") {
    DiagnosisRecord record = judder();
    for (DiagnosisCause& one : record.causes) one.is_simulated = true;
    const std::vector<RuledOut> all = ruled_out(record);
    REQUIRE(all.size() == 1);  // not the rare one, not the one that is still open
    CHECK(all[0].cause->title == "Crooked");
    REQUIRE(all[0].by.size() == 2);
    CHECK(has(all[0].by[0], "0.2 (with it 0.9)"));
    CHECK_FALSE(has(all[0].by[0], "against it"));
    CHECK(has(all[0].by[1], "Does it keep its rate? – Yes"));
    const std::string text = diagnosis_text(record);
    CHECK(has(text, "Ruled out, and by what"));
    CHECK(has(text, "- Crooked (15 % before): share of the judder"));
    CHECK_FALSE(has(text, "Crooked (0.8 %)"));  // no second telling with look and mend
    CHECK(has(text, "2. Open (2.0 %)"));
    // Of a cause that was not simulated there are no figures with it.
    for (DiagnosisCause& one : record.causes) one.is_simulated = false;
    CHECK(has(ruled_out(record).at(0).by[0], "fits causes that were simulated far better"));
    CHECK(has(html_diagnosis(record), "Ruled out, and by what"));
    DiagnosisRecord silent = judder();
    silent.causes[2].evidence.clear();
    CHECK(ruled_out(silent).at(0).by.at(0) == "What is known fits another cause far better");
}

TEST_CASE("what a test brings is said in words, by the share of what is open") {
    CHECK(settles_words(1.0) == "would settle nearly all that is open");
    CHECK(settles_words(0.7) == "would settle most of what is open");
    CHECK(settles_words(0.5) == "would settle about half of what is open");
    CHECK(settles_words(0.2) == "would settle some of what is open");
    CHECK(settles_words(0.05) == "would settle a little of what is open");
    DiagnosisRecord record = judder();
    record.open_bits = 2.0;
    DiagnosisTest easy, opened;
    easy.asks = "Try it";
    easy.kind = "tried";
    easy.minutes = 10.0;
    easy.bits = 1.0;
    opened.asks = "Look inside";
    opened.kind = "opened";
    opened.bits = 1.9;
    record.tests = {opened, easy};
    CHECK(share_settled(record, easy) == doctest::Approx(0.5));
    CHECK(test_words(record, easy) ==
          "tried, about 10 min, would settle about half of what is open");
    const std::string text = diagnosis_text(record);
    CHECK(text.find("Find out next") < text.find("- Try it"));
    CHECK(text.find("- Try it") < text.find("\nWith the gearbox off ("));
    CHECK(text.find("With the gearbox off") < text.find("- Look inside"));
    CHECK_FALSE(has(text + html_diagnosis(record), " bit"));
    record.open_bits = 0.0;
    CHECK(share_settled(record, easy) == 0.0);
}

TEST_CASE("the brief text has the outcome, two reasons, the next test and notes") {
    DiagnosisRecord record = judder();
    record.causes[0].evidence = record.causes[2].evidence;
    record.causes[0].look = "Look here";
    record.notes_on_data = {"a note"};
    record.tests.emplace_back();
    record.tests[0].asks = "Try it";
    record.tests[0].caution = "It may move";
    const std::string text = diagnosis_brief(record);
    for (const char* part : {"Most likely glazed (97 %).", "Open", "Does it keep its rate? – Yes",
                             "Next: Try it", "Mind: It may move", "a note", "An estimate"}) {
        CAPTURE(part);
        CHECK(has(text, part));
    }
    for (const char* part : {"Since when?", "Look here", "asbestos"}) {
        CAPTURE(part);
        CHECK_FALSE(has(text, part));
    }
}
