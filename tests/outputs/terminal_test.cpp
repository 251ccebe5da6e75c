// SPDX-License-Identifier: MIT
#include "libdamper/outputs/terminal.hpp"

#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include "tests/outputs/sample_record.hpp"

#include <doctest/doctest.h>
#include <sstream>
#include <string>

using namespace damper;

namespace {

void check_lines(const std::string& text) {
    std::istringstream lines(text);
    std::string line;
    while (std::getline(lines, line)) {
        CAPTURE(line);
        CHECK(columns_of(line) <= 100);
        CHECK(visible_text(line) == line);
        CHECK((line.empty() || line.back() != ' '));
    }
    CHECK(text.back() == '\n');
}

}  // namespace

TEST_CASE("the verdict for a terminal says all that matters within 100 columns") {
    const std::string text = terminal_text(sample::idle());
    check_lines(text);
    for (const char* piece :
         {"■ Bad: The gearbox rattles", "idle stage is used up", "Impact energy rate", "6.2", "mW",
          "210 % beyond", "common practice, no source", "OUTSIDE", "stage 2 (drive)", "14.0 %",
          "gear 3 loose", "3.05", "energy left over: ", "Runge–Kutta", "Check the oil grade",
          "vehicle maker's procedure"}) {
        CAPTURE(piece);
        CHECK(text.find(piece) != std::string::npos);
    }
}

TEST_CASE("an unfinished run says so on a terminal") {
    RunRecord record = sample::idle();
    record.solver.complete = false;
    record.solver.end_time = 0.4829;
    const std::string text = terminal_text(record);
    CHECK(text.find("Unfinished: the calculation stopped at 0.4829 s") != std::string::npos);
    CHECK(terminal_text(sample::idle()).find("nfinished") == std::string::npos);
}

TEST_CASE("hostile and endless names neither steer the terminal nor widen it") {
    RunRecord record = sample::idle();
    const std::string evil = "\x1b[31m\u202E" + std::string(150, 'x') + " 変速機\r\n";
    record.identity.title = record.identity.vehicle = record.identity.disc = evil;
    record.verdict.headline = evil;
    record.verdict.reasons = record.verdict.cautions = {evil};
    for (auto& judgement : record.verdict.judgements) {
        judgement.measure = judgement.units = judgement.source = evil;
    }
    for (auto& band : record.verdict.bands) band.measure = band.units = band.source = evil;
    for (auto& use : record.stage_use) use.stage = evil;
    for (auto& gear : record.gear_impacts) gear.element = evil;
    record.solver.method = evil;
    record.solver.warnings = {evil};
    check_lines(terminal_text(record));
}

TEST_CASE("text is broken at spaces, and words longer than a line are cut") {
    CHECK(wrapped("one two three", 9, "- ") == "- one two\n  three\n");
    CHECK(wrapped("abcdefgh", 5, "> ") == "> abc\n  def\n  gh\n");
    CHECK(wrapped("変速機", 5) == "変速\n機\n");
    CHECK(wrapped("", 10, "- ") == "-\n");
}

TEST_CASE("table columns line up by what is seen, not by bytes") {
    CHECK(text_table({{"Name", false, 6}, {"°C", true, 8}}, {{"öl", "80"}, {"too long", "-3.5"}}) ==
          "  Name      °C\n  öl        80\n  too l…  -3.5\n");
}
