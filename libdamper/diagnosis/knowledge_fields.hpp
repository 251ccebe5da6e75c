// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/parts/field.hpp"

namespace damper {

template <>
struct PartTable<Choice> {
    static constexpr std::string_view noun = "a choice of a question";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Choice;
        return std::tuple{
            field("name", &P::name, any(), required, "Name in complaint files"),
            field("says", &P::says, any(), required, "The answer in words"),
            field("usual", &P::usual, above("0", "1000"), otherwise("1"),
                  "Weight of the answer where a cause says nothing of the question"),
            field("clears", &P::clears, one_of({"none", "disc", "cover", "release", "flywheel"}),
                  otherwise("none"), "Part of the clutch that was found good by it"),
        };
    }
};

template <>
struct PartTable<Question> {
    static constexpr std::string_view noun = "a question";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Question;
        return std::tuple{
            field("name", &P::name, any(), required, "Name in complaint files"),
            field("asks", &P::asks, any(), required, "The question"),
            field("kind", &P::kind, one_of({"asked", "tried", "measured", "opened"}), required,
                  "Asked of the driver, tried with nothing removed, measured, or gearbox off"),
            field("minutes", &P::minutes, within("0", "6000"), required,
                  "What the answer costs the workshop"),
            field("how", &P::how, any(), otherwise(""), "How it is done"),
            field("caution", &P::caution, any(), otherwise(""), "Where it can hurt"),
            field("choices", &P::choices, entries(2, 8), required, "Answers to choose from"),
        };
    }
};

template <>
struct PartTable<QuestionList> {
    static constexpr std::string_view noun = "a list of questions";
    static constexpr std::string_view folder = "complaints";
    static auto fields() {
        using P = QuestionList;
        return std::tuple{
            field("title", &P::title, any(), required, "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"), "Where it comes from"),
            field("questions", &P::questions, entries(1, 500), required, "The questions"),
        };
    }
};

template <>
struct PartTable<ComplaintRun> {
    static constexpr std::string_view noun = "a run of a complaint";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = ComplaintRun;
        return std::tuple{
            field("class", &P::vehicle_class,
                  one_of({"car", "light van", "medium truck", "heavy truck"}), required,
                  "Class of the vehicle"),
            field("scenario", &P::scenario, any(), may_be_absent, "Scenario that is run"),
            field("cover", &P::cover, any(), may_be_absent, "Vehicle whose clutch is calculated"),
            field("vehicles", &P::vehicles, within("8", "1000"), may_be_absent,
                  "Simulated for each cause at most"),
        };
    }
};

template <>
struct PartTable<ComplaintFigure> {
    static constexpr std::string_view noun = "a figure of a complaint";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = ComplaintFigure;
        return std::tuple{
            field("measure", &P::measure, any(), required, "Measure of what shows it"),
            field("shown_by", &P::shown_by, one_of({"run", "gauges", "press", "disc bench"}),
                  otherwise("run"),
                  "The run's recordings, gauges on the vehicle, cover on the bench, disc on it"),
            field("error", &P::error, above("0", "1"), required,
                  "Standard deviation of the measurement, share of the value"),
            field("floor", &P::floor, any(), required,
                  "Least standard deviation, with the unit of the measure"),
        };
    }
};

template <>
struct PartTable<CandidateCause> {
    static constexpr std::string_view noun = "a cause of a complaint";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = CandidateCause;
        return std::tuple{
            field("cause", &P::cause, any(), may_be_absent, "A file of models/causes"),
            field("outside", &P::outside, any(), may_be_absent,
                  "Name of a cause that the model does not show"),
            field("title", &P::title, any(), may_be_absent, "Name for people"),
            field("seat", &P::seat, one_of({seats_of_causes.begin(), seats_of_causes.end()}),
                  may_be_absent, "Where the cause sits"),
            field("weight", &P::weight, above("0", "1000"), required,
                  "How often among complaints of this kind"),
            field("look", &P::look, any(), required, "What to inspect"),
            field("mend", &P::mend, any(), required, "What to replace or to do"),
            field("beware", &P::beware, any(), otherwise(""), "The wrong conclusion to avoid"),
        };
    }
};

template <>
struct PartTable<ComplaintKind> {
    static constexpr std::string_view noun = "what is known of a complaint";
    static constexpr std::string_view folder = "complaints";
    static auto fields() {
        using P = ComplaintKind;
        return std::tuple{
            field("title", &P::title, any(), required, "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"), "Where it comes from"),
            field("symptom", &P::symptom, any(), required, "The complaint in two or three words"),
            field("words", &P::words, any(), required, "What tells it from its neighbours"),
            field("unsimulated", &P::unsimulated, one_of({"sound", "any"}), otherwise("sound"),
                  "What recordings of causes show that cannot be simulated"),
            field("figures", &P::figures, entries(0, 20), may_be_absent,
                  "What recordings can show"),
        };
    }
};

template <>
struct PartTable<Repair> {
    static constexpr std::string_view noun = "a repair";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Repair;
        return std::tuple{
            field("done", &P::done, any(), otherwise(""), "What was done, for the report"),
            field("complaint", &P::complaint, one_of({"gone", "still there", "unknown"}),
                  otherwise("unknown"), "What the driver says since"),
        };
    }
};

template <>
struct PartTable<Complaint> {
    static constexpr std::string_view noun = "a complaint";
    static constexpr std::string_view folder = "complaints";
    static auto fields() {
        using P = Complaint;
        return std::tuple{
            field("title", &P::title, any(), required, "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"), "Where it comes from"),
            field("vehicle", &P::vehicle, any(), required,
                  "Name of a vehicle, or a file; the nearest of its class will do"),
            field("symptom", &P::symptom, any(), required, "What is complained of"),
            field("mileage", &P::mileage, any(), otherwise(""), "For the report"),
            field("notes", &P::notes, any(), otherwise(""), "For the report"),
            field("flywheel_teeth", &P::flywheel_teeth, within("4", "1000"), may_be_absent,
                  "Teeth of the wheel that gave flywheel_pulses, missing ones counted"),
            field("input_shaft_teeth", &P::input_shaft_teeth, within("4", "1000"), may_be_absent,
                  "The same at the gearbox input"),
            field("truth", &P::truth, any(), otherwise(""),
                  "Of invented complaints: the cause that was put in"),
        };
    }
};

}  // namespace damper
