// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_parts_words.hpp"

#include "libdamper/outputs/diagnosis_text.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/html_diagnosis_sheet.hpp"

#include "tests/support/has_text.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

using namespace damper;
using damper::testing::has;

namespace {

DiagnosisRecord led_by(const char* seat, double probability) {
    DiagnosisRecord record;
    record.title = "Case";
    DiagnosisCause first, second;
    first.title = "Leading";
    first.seat = seat;
    first.probability = probability;
    first.look = "Look one";
    first.mend = "Brackets; then try again.";
    second.title = "Second";
    second.seat = "gearbox";
    second.probability = 1.0 - probability;
    second.look = "Look two";
    record.causes = {first, second};
    record.clutch_probability = probability;
    return record;
}

DiagnosisFigure press_figure(const char* name, double seen) {
    DiagnosisFigure out;
    out.name = name;
    out.units = "N";
    out.shown_by = "press";
    out.seen = seen;
    out.healthy = 5000.0;
    out.healthy_low = 4800.0;
    out.healthy_high = 5200.0;
    return out;
}

std::string joined(const std::vector<std::string>& lines) {
    return fmt::format("{}", fmt::join(lines, " | "));
}

}  // namespace

TEST_CASE("what is looked at before assembly goes with the seat and with what is sure") {
    CHECK(before_assembly(led_by("disc", 0.94)).empty());
    CHECK(before_assembly(led_by("mounts", 0.99)).empty());
    const std::string disc = joined(before_assembly(led_by("disc", 0.96)));
    CHECK(has(disc, "Flywheel face"));
    CHECK(has(disc, "Spigot bearing"));
    CHECK_FALSE(has(disc, "Finger tips"));
    CHECK(has(joined(before_assembly(led_by("facings", 0.96))), "Crankshaft seal"));
    CHECK_FALSE(has(joined(before_assembly(led_by("flywheel", 0.96))), "Flywheel face"));
    DiagnosisRecord known = led_by("disc", 0.96);
    known.answers = {{"spline", "Disc on the shaft?", "Slides", "opened", ""}};
    CHECK_FALSE(has(joined(before_assembly(known)), "Spline"));
    DiagnosisRecord doubtful = led_by("disc", 0.96);
    doubtful.strange = {"a figure"};
    CHECK(before_assembly(doubtful).empty());
}

TEST_CASE("parts are ordered as far as the cause is sure") {
    CHECK(joined(parts_words(led_by("disc", 0.9))) == "Brackets; then try again.");
    CHECK(
        has(joined(parts_words(led_by("disc", 0.6))), "Order only once it is confirmed: brackets"));
    CHECK(has(joined(parts_words(led_by("disc", 0.4))), "Order nothing yet"));
    // What was found on parts tells which of them, where a cause may sit in several.
    DiagnosisRecord several = led_by("disc", 0.9);
    several.answers = {{"disc_gauged", "Run-out?", "Disc beyond its limit", "opened", "none"},
                       {"since", "Since when?", "Since a repair", "asked", "none"}};
    several.causes[0].evidence = {{"disc_gauged", "Run-out?", "Disc beyond its limit", 0.6, {}},
                                  {"since", "Since when?", "Since a repair", 0.5, {}}};
    CHECK(joined(parts_words(several)) ==
          "Brackets; then try again. | Found for it: Run-out? – Disc beyond its limit.");
    DiagnosisRecord sound = led_by("disc", 0.9);
    sound.as_sound = true;
    CHECK(has(joined(parts_words(sound)), "Order nothing while"));
    DiagnosisRecord outside = led_by("engine", 0.9);
    outside.clutch_probability = 0.05;
    CHECK(has(joined(parts_words(outside)), "Do not order parts of the clutch"));
}

TEST_CASE("a part that was found good is not ordered") {
    DiagnosisRecord record = led_by("disc", 0.9);
    CHECK_FALSE(has(joined(parts_words(record)), "Do not order"));
    record.answers = {{"fingers_load", "Cover?", "Even", "opened", "cover"}};
    CHECK(has(joined(parts_words(record)), "Do not order: cover (found good)."));
    record.causes[0].mend = "Disc and cover.";  // the repair asks for it all the same
    CHECK_FALSE(has(joined(parts_words(record)), "Do not order"));
    record.causes[0].mend = "What is beyond its limit: disc or cover.";
    CHECK(has(joined(parts_words(record)), "Do not order: cover"));
    record = led_by("disc", 0.9);
    record.figures = {press_figure("clamp_load_new", 5000.0)};
    CHECK(has(joined(parts_words(record)), "Do not order: cover"));
    record.figures.push_back(press_figure("lift_parallelism", 9000.0));
    CHECK_FALSE(has(joined(parts_words(record)), "Do not order"));
    record.figures.pop_back();
    record.causes[1].seat = "cover";  // still likely, whatever was found
    record.causes[0].probability = 0.8;
    record.causes[1].probability = 0.2;
    CHECK_FALSE(has(joined(parts_words(record)), "Do not order"));
}

TEST_CASE("the sheet has what was found, and of a settled case its cause alone") {
    DiagnosisRecord record = led_by("disc", 0.9);
    record.answers = {{"since", "Since when?", "It grew", "asked", ""},
                      {"slip_test", "Does it slip?", "It holds", "tried", ""}};
    record.figures = {press_figure("clamp_load_new", 4200.0)};
    for (DiagnosisCause& one : record.causes) one.low = one.middle = one.high = {4000.0};
    record.tests.emplace_back();
    record.tests[0].asks = "Try next";
    const std::string open = diagnosis_sheet(record);
    for (const char* part : {"Does it slip? – It holds", "4200", "Look one", "Look two", "Try next",
                             "Complaint gone", "asbestos"}) {
        CAPTURE(part);
        CHECK(has(open, part));
    }
    CHECK_FALSE(has(open, "Since when?"));
    record.causes[0].probability = 0.97;
    record.causes[1].probability = 0.03;
    const std::string settled = diagnosis_sheet(record);
    CHECK(has(settled, "Look one"));
    CHECK_FALSE(has(settled, "Look two"));
    CHECK_FALSE(has(settled, "Try next"));
    CHECK(has(settled, "Spigot bearing"));
    // Figures since the repair stand beside those before it.
    RepairRecord repair;
    repair.state.figures = {press_figure("clamp_load_new", 5100.0)};
    repair.state.causes = record.causes;
    repair.before = {4200.0};
    CHECK_FALSE(has(settled, "5100"));
    CHECK(has(diagnosis_sheet(record, repair), "5100"));
}

TEST_CASE("what is not the clutch and hardly the cause any more is not to be exchanged for it") {
    DiagnosisRecord record = led_by("disc", 0.995);
    record.causes[1].prior = 0.3;
    CHECK(has(joined(parts_words(record)), "Do not open or exchange for this: gearbox (0.5 %)."));
    record.causes[1].prior = 0.01;  // nobody thought of it
    CHECK_FALSE(has(joined(parts_words(record)), "Do not open or exchange"));
    DiagnosisRecord open = led_by("disc", 0.9);
    open.causes[1].prior = 0.3;
    CHECK_FALSE(has(joined(parts_words(open)), "Do not open or exchange"));
}

TEST_CASE("once the gearbox is off, what to look at is said for then") {
    DiagnosisRecord record = led_by("disc", 0.97);
    CHECK(has(before_assembly_heading(record), "If the gearbox comes off"));
    record.answers = {{"hub_by_hand", "Hub?", "Sticks", "opened", "none"}};
    CHECK(has(before_assembly_heading(record), "Before the gearbox is put back"));
}

TEST_CASE("an answer that does not go with the cause that leads is told beside it") {
    DiagnosisRecord record = led_by("flywheel", 0.99);
    record.vehicle = "Van";
    record.causes[0].evidence = {{"run", "What recordings show", "", 3.0, {}},
                                 {"flywheel_look", "Flywheel?", "Nothing wrong", -0.9, {}}};
    CHECK(has(diagnosis_headline(record), "this does not go with it: Flywheel? – Nothing wrong."));
    CHECK(has(diagnosis_headline(record), "whether \"Van\" stands for the vehicle"));
    record.causes[0].evidence[1].weight = -0.5;  // what a driver says
    CHECK_FALSE(has(diagnosis_headline(record), "does not go with it"));
    record.answers = {{"flywheel_look", "Flywheel?", "Nothing wrong", "opened", "none"}};
    CHECK(has(diagnosis_headline(record), "does not go with it"));
    // Figures that speak against it are told with their numbers, not as an answer.
    record.causes[0].evidence = {{"run", "What recordings show", "", -3.0, {}}};
    CHECK_FALSE(has(diagnosis_headline(record), "does not go with it"));
}
