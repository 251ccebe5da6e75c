// SPDX-License-Identifier: MIT
// Files of complaints and of what is known of them: what is wrong is told with its place.
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/describe/write_complaint.hpp"
#include "libdamper/diagnosis/possible_values.hpp"

#include "tests/support/samples.hpp"

#include <doctest/doctest.h>

using namespace damper;
using damper::testing::findings_of;
using damper::testing::ScratchFolder;

namespace {

const char* const questions_text = R"(title = "Questions"
[[questions]]
name = "pedal"
asks = "What does the pedal do?"
kind = "asked"
minutes = 0
[[questions.choices]]
name = "gone"
says = "It stops"
[[questions.choices]]
name = "same"
says = "Nothing"
usual = 3
)";

const char* const kind_text = R"(title = "Rattle"
symptom = "rattle"
words = "A rattle."
questions = ["pedal"]
[[runs]]
class = "car"
scenario = "car_idle_hot"
[runs.change]
"manoeuvre.length" = "1 s"
[[figures]]
measure = "transfer"
error = "5 %"
floor = "0.03"
[scatter]
"disc.stages[*].stiffness" = "times 0.9..1.1"
[[causes]]
cause = "idle_friction_stuck"
weight = 4
look = "Look."
mend = "Mend."
[causes.ranges]
"disc.stages[0].hysteresis" = "times 3..10"
[causes.answers]
pedal = { gone = 8, same = 1 }
[[causes]]
outside = "bearing"
title = "Bearing"
seat = "gearbox"
weight = 1
look = "Look."
mend = "Mend."
)";

const char* const complaint_text = R"(title = "It rattles"
vehicle = "car_petrol"
symptom = "rattle"
[answers]
pedal = "gone"
[measured]
transfer = 0.9
twist_mean = "2 deg"
[recordings]
flywheel = "trace.csv"
[change]
"conditions.gearbox_oil" = "20 degC"
)";

std::string with(std::string text, const std::string& old, const std::string& now) {
    const std::size_t at = text.find(old);
    REQUIRE(at != std::string::npos);
    return text.replace(at, old.size(), now);
}

const std::vector<std::pair<std::string, std::string>> measures{{"transfer", "1"},
                                                                {"twist_mean", "rad"},
                                                                {"weakest_cylinder", "1"},
                                                                {"half_order_angle", "rad"},
                                                                {"consumers_torque", "N.m"}};

}  // namespace

TEST_CASE("knowledge and complaint are read as they are written") {
    const ScratchFolder folder;
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    REQUIRE(questions.questions.size() == 1);
    CHECK(questions.questions[0].choices[0].usual.si() == 1.0);
    CHECK(questions.questions[0].choices[1].usual.si() == 3.0);
    const ComplaintKind kind =
        read_complaint_kind(folder.write("rattle.toml", kind_text), questions);
    CHECK(kind.runs.at(0).changes.at(0).second == "1 s");
    CHECK(kind.figures.at(0).error.si() == doctest::Approx(0.05));
    CHECK(kind.scatter.size() == 1);
    REQUIRE(kind.causes.size() == 2);
    CHECK(kind.causes[0].ranges.at(0).second == "times 3..10");
    CHECK(kind.causes[0].answers.at(0).choices.at(0).second == 8.0);
    CHECK(kind.causes[1].name() == "bearing");
    (void)folder.write("trace.csv", "");  // what is in it is looked at later
    const Complaint complaint = read_complaint(folder.write("case.toml", complaint_text),
                                               {questions, {"rattle"}, measures});
    CHECK(complaint.name == "case");
    CHECK(complaint.answers.size() == 1);
    CHECK(complaint.measured.size() == 2);
    CHECK(complaint.recordings.at(0).second == (folder.path() / "trace.csv").string());
}

TEST_CASE("what is wrong in knowledge is found and told") {
    const ScratchFolder folder;
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    const auto told = [&](const char* old, const char* now, const char* expected) {
        CAPTURE(now);
        const auto file = folder.write("rattle.toml", with(kind_text, old, now));
        const std::string text =
            to_text(findings_of([&] { (void)read_complaint_kind(file, questions); }));
        CAPTURE(text);
        CHECK(text.find(expected) != std::string::npos);
        CHECK(text.find("rattle.toml:") != std::string::npos);
    };
    told("pedal = { gone", "pedals = { gone", "Did you mean \"pedal\"?");
    told("gone = 8", "gine = 8", "Did you mean \"gone\"?");
    told("gone = 8", "gone = -8", "-8");
    told("questions = [\"pedal\"]", "questions = [\"pedel\"]", "Did you mean \"pedal\"?");
    told("questions = [\"pedal\"]\n", "", "a list of names of questions");
    told("scenario = \"car_idle_hot\"", "", "either scenario or cover");
    told("seat = \"gearbox\"\n", "", "where it sits");
    told("outside = \"bearing\"", "outside = \"bearing\"\ncause = \"x\"",
         "either cause or outside");
    told("outside = \"bearing\"", "outside = \"idle_friction_stuck\"", "each cause once");
    told("weight = 4", "wieght = 4", "weight");
    told("error = \"5 %\"", "error = \"5 deg\"", "5 deg");
    told("class = \"car\"", "class = \"bus\"", "bus");
}

TEST_CASE("what is wrong in a complaint is found and told") {
    const ScratchFolder folder;
    (void)folder.write("trace.csv", "");
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    const auto told = [&](const char* old, const char* now, const char* expected) {
        CAPTURE(now);
        const auto file = folder.write("case.toml", with(complaint_text, old, now));
        const std::string text = to_text(findings_of([&] {
            (void)read_complaint(file, {questions, {"rattle"}, measures});
        }));
        CAPTURE(text);
        CHECK(text.find(expected) != std::string::npos);
        CHECK(text.find("case.toml:") != std::string::npos);
    };
    told("symptom = \"rattle\"", "symptom = \"ratle\"", "Did you mean \"rattle\"?");
    told("pedal = \"gone\"", "pedal = \"goen\"", "Did you mean \"gone\"?");
    told("pedal = \"gone\"", "pedal = 3", "a choice in quotation marks");
    told("transfer = 0.9", "transfr = 0.9", "Did you mean \"transfer\"?");
    told("\"2 deg\"", "\"2 N m\"", "2 N m");
    // A torque that was read off as a current is told how to come by it: P/(η·ω), 40 A at 14 V with
    // 60 % at 800 rpm: 560/(0.6·83.78) = 11.1 N m.
    told("\"2 deg\"", "\"2 deg\"\nconsumers_torque = \"4 A\"", "are 11 N m at 800 rpm");
    told("transfer = 0.9", "transfer = 0,98", "behind a point: 0.98");
    told("transfer = 0.9", "twist_max = 10,5 deg", "behind a point: 10.5");
    told("vehicle =", "mileage = 148000\nvehicle =", "mileage = \"148000 km\"");
    // Values that nothing can be, and percents without their sign.
    told("transfer = 0.9", "weakest_cylinder = 98", "Did you mean \"98 %\"?");
    told("transfer = 0.9", "weakest_cylinder = -1", "at least -50 % and at most 100 %");
    told("transfer = 0.9", "weakest_cylinder = \"101 %\"", "unit and its sign");
    told("transfer = 0.9", "transfer = 62", "Did you mean \"62 %\"?");
    told("transfer = 0.9", "half_order_angle = \"-0.3 deg\"", "at least 0 deg and at most 90 deg");
    told("flywheel = ", "input_shaft_pulses = \"./trace.csv\"\nflywheel = ",
         "as for input_shaft_pulses");
    told("flywheel = ", "flywhele = ", "Did you mean \"flywheel\"?");
    told("vehicle = \"car_petrol\"\n", "", "vehicle");
    told("title = \"It", "titel = \"It", "titel");
}

TEST_CASE("what was found since a repair is read apart from what was found before") {
    const ScratchFolder folder;
    (void)folder.write("trace.csv", "");
    (void)folder.write("since.csv", "");
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    const std::string repaired = std::string(complaint_text) + R"(
[repair]
done = "New clutch"
complaint = "gone"
renewed = ["clutch", "flywheel"]
[repair.measured]
transfer = 0.3
[repair.recordings]
flywheel = "since.csv"
[repair.change]
disc = "car_three_stage"
)";
    const Complaint complaint =
        read_complaint(folder.write("case.toml", repaired), {questions, {"rattle"}, measures});
    REQUIRE(complaint.repair);
    CHECK(complaint.repair->done == "New clutch");
    CHECK(complaint.repair->complaint == "gone");
    CHECK(complaint.repair->renewed ==
          std::vector<std::string>{"disc", "facings", "cover", "release", "flywheel"});
    CHECK(complaint.repair->measured.at(0).second == "0.3");
    CHECK(complaint.repair->recordings.at(0).second == (folder.path() / "since.csv").string());
    CHECK(complaint.repair->changes.at(0).first == "disc");
    CHECK(complaint.measured.size() == 2);
    const auto told = [&](const char* old, const char* now, const char* expected) {
        CAPTURE(now);
        const auto file = folder.write("case.toml", with(repaired, old, now));
        const std::string text = to_text(findings_of([&] {
            (void)read_complaint(file, {questions, {"rattle"}, measures});
        }));
        CAPTURE(text);
        CHECK(text.find(expected) != std::string::npos);
        CHECK(text.find("case.toml:") != std::string::npos);
    };
    told("\"since.csv\"", "\"trace.csv\"", "the recording of before");
    (void)folder.write("trace.csv", "time;speed\n");
    (void)folder.write("since.csv", "time;speed\n");
    told("New clutch", "New disc", "or a copy of it");
    (void)folder.write("since.csv", "time;speed");
    told("\"gone\"\nrenewed", "\"gon\"\nrenewed", "Did you mean \"gone\"?");
    told("\"flywheel\"]", "\"flywhele\"]", "Did you mean \"flywheel\"?");
    told("[\"clutch\", \"flywheel\"]", "\"clutch\"", "a list of names");
    told("transfer = 0.3", "transfr = 0.3", "repair.measured.transfr");
    told("transfer = 0.3", "transfer = 62", "Did you mean \"62 %\"?");
    told("done = ", "doen = ", "doen");
}

TEST_CASE("values that can be are taken, with a percent sign or without") {
    const ScratchFolder folder;
    (void)folder.write("trace.csv", "");
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    for (const char* text :
         {"weakest_cylinder = \"98 %\"", "weakest_cylinder = 0.98", "weakest_cylinder = -0.1",
          "transfer = \"140 %\"", "transfer = 0", "twist_mean = \"-400 deg\""}) {
        CAPTURE(text);
        const auto file = folder.write(
            "case.toml", with(complaint_text, "transfer = 0.9\ntwist_mean = \"2 deg\"", text));
        CHECK(read_complaint(file, {questions, {"rattle"}, measures}).measured.size() == 1);
    }
    // One table may hold the speeds of both shafts.
    const auto both = folder.write(
        "case.toml", with(complaint_text, "flywheel =", "input_shaft = \"trace.csv\"\nflywheel ="));
    CHECK(read_complaint(both, {questions, {"rattle"}, measures}).recordings.size() == 2);
}

TEST_CASE("every figure of a complaint has bounds of what it measures") {
    const std::filesystem::path folder =
        std::filesystem::path(DAMPER_SOURCE_DIR) / "models" / "complaints";
    const QuestionList questions = read_questions(folder / "questions.toml");
    std::size_t seen = 0;
    for (const Question& one : questions.questions) {
        CAPTURE(one.same_as);
        CHECK((one.same_as.empty() || possible_value(one.same_as) != nullptr));
    }
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().filename() == "questions.toml") continue;
        for (const ComplaintFigure& one : read_complaint_kind(entry.path(), questions).figures) {
            CAPTURE(one.measure);
            const PossibleValue* known = possible_value(one.measure);
            REQUIRE(known != nullptr);
            const auto floor = std::get<AnyQuantity>(read_any_quantity(one.floor));
            const auto low = std::get<AnyQuantity>(read_any_quantity(known->lowest));
            const auto high = std::get<AnyQuantity>(read_any_quantity(known->highest));
            CHECK(low.dimension == floor.dimension);
            CHECK(high.dimension == floor.dimension);
            CHECK(low.si + floor.si < high.si);
            ++seen;
        }
    }
    CHECK(seen > 100);
}

TEST_CASE("an unknown answer is none") {
    const ScratchFolder folder;
    (void)folder.write("trace.csv", "");
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    const auto file = folder.write("case.toml", with(complaint_text, "\"gone\"", "\"unknown\""));
    CHECK(read_complaint(file, {questions, {"rattle"}, measures}).answers.empty());
}

TEST_CASE("a complaint that is written reads the same, whatever its texts hold") {
    const ScratchFolder folder;
    const QuestionList questions = read_questions(folder.write("questions.toml", questions_text));
    Complaint complaint;
    complaint.title = "\"] [answers] pedal = \"gone\" # </script><b>\\ é";
    complaint.origin = "test";
    complaint.vehicle = "car_petrol";
    complaint.symptom = "rattle";
    complaint.notes = "'''\"\"\" ${x} {{}}";
    complaint.answers = {{"pedal", "same"}};
    complaint.measured = {{"transfer", "0.9"}};
    complaint.changes = {{"disc.stages[0].stiffness", "times 2"}};
    const auto file = folder.write("case.toml", complaint_toml(complaint));
    const Complaint back = read_complaint(file, {questions, {"rattle"}, measures});
    CHECK(back.title == complaint.title);
    CHECK(back.notes == complaint.notes);
    CHECK(back.answers == complaint.answers);
    CHECK(back.measured == complaint.measured);
    CHECK(back.changes == complaint.changes);
    // Open lines are comments, whatever they hold; those of given keys are left out.
    const OpenLines open{.answers = {{"", "pedal", "same", {"given already"}},
                                     {"More\npedal = \"gone\"",
                                      "other\nkey",
                                      "a | b",
                                      {"asks\rwhat\n[change]", "a: \n b"}}},
                         .measured = {{"", "jerk", "…", {"later"}}},
                         .recordings = {}};
    const std::string form = complaint_toml(complaint, open);
    const Complaint again =
        read_complaint(folder.write("form.toml", form), {questions, {"rattle"}, measures});
    CHECK(again.answers == complaint.answers);
    CHECK(again.measured == complaint.measured);
    CHECK(form.find("given already") == std::string::npos);
    CHECK(form.find("# later\n# jerk = \"…\"\n") != std::string::npos);
    complaint.notes = "two\nlines";  // escaped, so that it is refused and becomes no key
    const auto broken = folder.write("broken.toml", complaint_toml(complaint));
    const auto findings = findings_of([&] {
        (void)read_complaint(broken, {questions, {"rattle"}, measures});
    });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].key == "notes");
}
