// SPDX-License-Identifier: MIT
#include "libdamper/studies/open_lines.hpp"

#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <utility>
#include <variant>

namespace damper {

namespace {

/// Kinds of questions in the order in which a workshop comes to them, and what they are.
constexpr std::array<std::pair<const char*, const char*>, 4> kinds_of_questions{{
    {"asked", "Asked of the driver"},
    {"tried", "Tried, nothing removed"},
    {"measured", "Measured, nothing removed"},
    {"opened", "Gearbox off"},
}};

std::string group_of(const std::string& shown_by) {
    if (shown_by == "gauges") return "On the vehicle, nothing removed";
    if (shown_by == "press") return "Gearbox off: cover and facings on the bench";
    if (shown_by == "disc bench") return "Gearbox off: the disc turned slowly on a torsion bench";
    return "From recordings that were read elsewhere; files go under [recordings]";
}

/// "… rpm": the place of a number with the unit that a workshop writes behind it.
std::string place_for(const std::string& units) {
    if (units == "1/s" || units == "s-1") return "… 1/s";  // a rate, or a growth: no Hz
    const auto unit = read_unit(units);
    const auto* dimension = std::get_if<ReadUnit>(&unit);
    if (dimension == nullptr) return "…";
    const std::string one = write_quantity(1.0, dimension->dimension);
    const std::size_t space = one.find(' ');
    return space == std::string::npos ? "…" : "…" + one.substr(space);
}

OpenLine line_of(const Question& question) {
    OpenLine out;
    for (const auto& [kind, group] : kinds_of_questions) {
        if (question.kind == kind) out.group = group;
    }
    out.key = question.name;
    out.says = in_words(question);
    std::vector<std::string> names;
    for (const Choice& choice : question.choices) {
        names.push_back(choice.name);
        out.says.push_back(fmt::format("{}: {}", choice.name, choice.says));
    }
    out.value = fmt::format("{}", fmt::join(names, " | "));
    return out;
}

/// Recordings that show the complaint, and tables of the benches that its figures come from.
void put_recordings(const CauseVehicles& figures, OpenLines& out) {
    const RecordingGuide& guide = figures.guide;
    if (!guide.empty()) {
        out.on_recordings.push_back(fmt::format("Record: {}.", figures.state));
        out.on_recordings.push_back(guide.length);
    }
    for (const auto& [kind, what] : guide.kinds) {
        out.recordings.push_back({.group = "Recordings: files, seen from this one's folder",
                                  .key = kind,
                                  .value = kind + (kind == "sound" ? ".wav" : ".csv"),
                                  .says = {what}});
    }
    const auto shown = [&](const char* place) {
        return std::ranges::find(figures.shown_by, place) != figures.shown_by.end();
    };
    for (const auto& [kind, what] : recording_kinds()) {
        const bool of_disc = kind.starts_with("loop");
        const bool of_cover = kind == "clamp_load" || kind == "release_travel";
        if (!(of_disc && shown("disc bench")) && !(of_cover && shown("press"))) continue;
        out.recordings.push_back({.group = "Gearbox off: files of the benches",
                                  .key = kind,
                                  .value = kind + ".csv",
                                  .says = {what}});
    }
    if (out.recordings.empty()) return;
    const std::vector<std::string>& rules = recording_rules();
    // Of tables with speeds, and of all tables.
    out.on_recordings.insert(out.on_recordings.end(),
                             guide.empty() ? rules.end() - 1 : rules.begin(), rules.end());
}

}  // namespace

std::vector<const Question*> questions_in_order(const ComplaintKind& kind,
                                                const QuestionList& questions) {
    std::vector<const Question*> out;
    for (const auto& [name, group] : kinds_of_questions) {
        for (const std::string& one : kind.questions) {
            const Question* question = questions.find(one);
            if (question->kind == name) out.push_back(question);
        }
    }
    return out;
}

std::vector<std::string> in_words(const Question& question) {
    std::vector<std::string> out{question.asks};
    if (question.minutes.si() > 0.0) {
        out.back() += fmt::format(" (about {:g} min)", question.minutes.si());
    }
    if (!question.how.empty()) out.push_back(question.how);
    if (!question.caution.empty()) out.push_back("Mind: " + question.caution);
    return out;
}

OpenLines open_lines(const Complaint& complaint, const Knowledge& knowledge,
                     const std::filesystem::path& models, const std::filesystem::path& scenarios) {
    const ComplaintKind& kind = knowledge.of(complaint.symptom);
    VehiclesAsked asked;
    asked.models = models;
    asked.scenarios = scenarios;
    asked.vehicle = complaint.vehicle;
    (void)take_vehicle(complaint, asked);

    OpenLines out;
    for (const Question* question : questions_in_order(kind, knowledge.questions)) {
        out.answers.push_back(line_of(*question));
    }
    const CauseVehicles figures = known_figures(kind, asked);
    for (std::size_t f = 0; f < figures.measures.size(); ++f) {
        out.measured.push_back({.group = group_of(figures.shown_by[f]),
                                .key = figures.measures[f],
                                .value = place_for(figures.units[f]),
                                .says = {figures.definitions[f]}});
    }
    put_recordings(figures, out);
    return out;
}

}  // namespace damper
