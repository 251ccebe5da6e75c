// SPDX-License-Identifier: MIT
#include "libdamper/outputs/repair_words.hpp"

#include "libdamper/outputs/diagnosis_text.hpp"

#include "tests/support/has_text.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

using namespace damper;
using damper::testing::has;

namespace {

DiagnosisCause cause_of(const std::string& name, const std::string& title, double probability) {
    DiagnosisCause cause;
    cause.name = name;
    cause.title = title;
    cause.look = "Look there.";
    cause.probability = probability;
    cause.middle = cause.low = cause.high = {1.0};
    return cause;
}

DiagnosisRecord found() {
    DiagnosisRecord out;
    out.title = "<b>Case";
    out.causes = {cause_of("crooked", "Crooked disc", 0.9), cause_of("worn", "Worn mount", 0.1)};
    return out;
}

RepairRecord repair_of(RepairVerdict verdict, double cured) {
    RepairRecord out;
    out.done = "New <i>disc";
    out.complaint = "gone";
    out.verdict = verdict;
    out.cured = cured;
    out.cured_unmeasured = 0.8;
    out.measured = true;
    DiagnosisFigure figure;
    figure.name = "transfer";
    figure.units = "1";
    figure.seen = 0.31;
    figure.error = 0.01;
    figure.healthy = 0.3;
    figure.healthy_low = 0.2;
    figure.healthy_high = 0.4;
    out.state.figures = {figure};
    out.before = {0.9};
    out.state.causes = {cause_of(cured_cause, "Cured", cured),
                        cause_of("worn", "Worn mount", 1.0 - cured)};
    return out;
}

}  // namespace

TEST_CASE("a closed case says so, with both states beside each other") {
    const RepairRecord repair = repair_of(RepairVerdict::closed, 0.98);
    const std::vector<RepairRow> rows = repair_rows(repair);
    REQUIRE(rows.size() == 1);
    CHECK(rows[0].before == "0.9");
    CHECK(rows[0].after == "0.31");
    CHECK(rows[0].sound == "0.3");
    CHECK(rows[0].sound_range == "0.2 to 0.4");
    CHECK(rows[0].since == "yes");
    CHECK(still_possible(repair).empty());
    const std::string text = diagnosis_text(found(), repair);
    CHECK(has(text, "Closed."));
    CHECK(has(text, "98 %"));
    CHECK(has(text, "Before it: \"Crooked disc\" (90 %)"));
    CHECK_FALSE(has(text, "rests on"));
    CHECK_FALSE(has(text, "What may still be there"));
    CHECK_FALSE(has(text, "Look: "));  // what led before is not to be looked for any more
}

TEST_CASE("a case that recordings could not close tells on what it rests") {
    RepairRecord repair = repair_of(RepairVerdict::closed, 0.98);
    repair.cured_unmeasured = 0.97;
    CHECK(has(repair_headline(repair, found()),
              "rests on the driver's word more than on what was measured, in which \"Worn mount\" "
              "would"));
}

TEST_CASE("an open case says what is wanting, one that is not closed what may still be there") {
    RepairRecord repair = repair_of(RepairVerdict::open, 0.9);
    CHECK(has(repair_headline(repair, found()), "does not settle it, as \"Worn mount\""));
    repair.measured = false;
    CHECK(has(repair_headline(repair, found()), "nothing was measured since"));
    repair.complaint = "still there";
    CHECK(has(repair_headline(repair, found()), "record while it is there"));
    repair = repair_of(RepairVerdict::open, 0.5);
    CHECK(has(repair_headline(repair, found()), "rather against it"));
    repair = repair_of(RepairVerdict::open, 0.79);  // hardly less likely, but not as in sound ones
    repair.state.figures[0].seen = 0.8;
    CHECK(has(repair_headline(repair, found()), "rather against it"));
    repair = repair_of(RepairVerdict::not_closed, 0.05);
    repair.state.figures[0].seen = 0.8;
    CHECK(has(repair_headline(repair, found()), "likeliest now is \"Worn mount\" (95 %)"));
    CHECK(has(repair_headline(repair, found()), "Not as in sound vehicles: swing of the input"));
    CHECK(still_possible(repair) == std::vector<std::string>{"Worn mount (95 %): Look there."});
    CHECK(repair_rows(repair)[0].since == "no");
}

TEST_CASE("a page and data keep both states, and nothing of a file is taken for markup") {
    const RepairRecord repair = repair_of(RepairVerdict::closed, 0.98);
    const std::string page = html_diagnosis(found(), repair);
    CHECK(has(page, "After the repair"));
    CHECK(has(page, "New &lt;i&gt;disc"));
    CHECK_FALSE(has(page, "<i>disc"));
    const auto json = nlohmann::json::parse(diagnosis_json(found(), repair));
    CHECK(json["repair"]["verdict"] == "Closed");
    CHECK(json["repair"]["figures"][0]["seen"] == 0.31);
    CHECK_FALSE(nlohmann::json::parse(diagnosis_json(found())).contains("repair"));
}

TEST_CASE("less than sound vehicles show is as sound where less is better, more where more is") {
    DiagnosisFigure figure;
    figure.healthy = 1.0;
    figure.healthy_low = 0.9;
    figure.healthy_high = 1.1;
    figure.error = 0.01;
    const auto is_sound = [&](double seen, Better better) {
        figure.seen = seen;
        figure.better = better;
        return figure.is_as_sound();
    };
    CHECK(is_sound(0.5, Better::less));
    CHECK_FALSE(is_sound(1.2, Better::less));
    CHECK(is_sound(1.5, Better::more));
    CHECK_FALSE(is_sound(0.5, Better::more));
    CHECK_FALSE(is_sound(0.5, Better::neither));
    CHECK_FALSE(is_sound(1.5, Better::neither));
    CHECK(is_sound(1.105, Better::less));
}

TEST_CASE("figures beyond those of sound vehicles are called better, about, or no") {
    RepairRecord repair = repair_of(RepairVerdict::closed, 0.98);
    const auto since = [&](double seen, Better better) {
        repair.state.figures[0].seen = seen;
        repair.state.figures[0].better = better;
        return repair_rows(repair).at(0).since;
    };
    CHECK(since(0.3, Better::less) == "yes");
    CHECK(since(0.1, Better::less) == "better");
    CHECK(has(repair_headline(repair, found()), "what sound vehicles show, or better"));
    CHECK(since(0.405, Better::less) == "about");
    CHECK(since(0.195, Better::neither) == "about");
    CHECK(since(0.5, Better::less) == "no");
}

TEST_CASE("what a verdict leaves to be minded is said") {
    const auto said = [](const RepairRecord& repair) {
        std::string out;
        DiagnosisRecord before = found();
        before.causes[0].seat = "disc";
        for (const std::string& one : repair_remarks(repair, before)) out += one + "\n";
        return out;
    };
    RepairRecord repair = repair_of(RepairVerdict::closed, 0.98);
    repair.renewed = {"disc"};
    CHECK(said(repair).empty());
    repair.renewed = {"gearbox"};
    CHECK(has(said(repair), "The likeliest cause sat here: disc;"));
    repair.renewed = {"disc", "mounts"};
    repair.state.causes[1].seat = "mounts";
    CHECK(said(repair).empty());
    repair.verdict = RepairVerdict::not_closed;
    CHECK(has(said(repair), "A part that is new leads again"));
    repair.verdict = RepairVerdict::closed;
    repair.complaint = "unknown";
    CHECK(has(said(repair), "ask the driver"));
    repair.complaint = "gone";
    repair.before = {std::nullopt};
    CHECK(has(said(repair), "Nothing of it was measured before"));
    repair.before = {0.9};
    repair.other_parts = true;
    repair.state.figures[0].better = Better::less;
    repair.state.figures[0].seen = 0.1;
    CHECK(has(said(repair), "what stands under [repair.change] is what was fitted"));
}

TEST_CASE("the sheet of a closed case asks for nothing more") {
    const std::string closed = html_diagnosis(found(), repair_of(RepairVerdict::closed, 0.98));
    const std::string sheet = closed.substr(closed.find("Sheet for the workshop"));
    CHECK_FALSE(has(sheet, "Check in this order"));
    CHECK(has(sheet, "Closed."));
    CHECK(has(sheet, "Done, and parts fitted: New &lt;i&gt;disc"));
    CHECK(has(sheet, "☒&nbsp;yes"));
    const std::string open = html_diagnosis(found(), repair_of(RepairVerdict::not_closed, 0.05));
    const std::string again = open.substr(open.find("Sheet for the workshop"));
    CHECK(has(again, "Check in this order"));
    CHECK(has(again, "Worn mount"));
    CHECK_FALSE(has(again, "Crooked disc<"));  // as it was before the repair
}
