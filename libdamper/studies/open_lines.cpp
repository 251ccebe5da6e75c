// SPDX-License-Identifier: MIT
#include "libdamper/studies/open_lines.hpp"

#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/write_quantity.hpp"
#include "libdamper/studies/cause_vehicles.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <variant>

namespace damper {

namespace {

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

/// Open questions of a kind of complaint: those that need the gearbox off, or the others.
void put_questions(const ComplaintKind& kind, const QuestionList& questions, bool opened,
                   std::vector<OpenLine>& out) {
    for (const std::string& name : kind.questions) {
        const Question& question = *questions.find(name);
        if ((question.kind == "opened") != opened) continue;
        std::vector<std::string> names, says{question.asks};
        for (const Choice& choice : question.choices) {
            names.push_back(choice.name);
            says.push_back(fmt::format("{}: {}", choice.name, choice.says));
        }
        out.push_back({.group = opened ? "Open questions, gearbox off" : "Open questions",
                       .key = name,
                       .value = fmt::format("{}", fmt::join(names, " | ")),
                       .says = std::move(says)});
    }
}

}  // namespace

OpenLines open_lines(const Complaint& complaint, const Knowledge& knowledge,
                     const std::filesystem::path& models, const std::filesystem::path& scenarios) {
    const ComplaintKind& kind = knowledge.of(complaint.symptom);
    VehiclesAsked asked;
    asked.models = models;
    asked.scenarios = scenarios;
    asked.vehicle = complaint.vehicle;
    (void)take_vehicle(complaint, asked);

    OpenLines out;
    for (const bool opened : {false, true}) {
        put_questions(kind, knowledge.questions, opened, out.answers);
    }
    const CauseVehicles figures = known_figures(kind, asked);
    for (std::size_t f = 0; f < figures.measures.size(); ++f) {
        out.measured.push_back({.group = group_of(figures.shown_by[f]),
                                .key = figures.measures[f],
                                .value = place_for(figures.units[f]),
                                .says = {figures.definitions[f]}});
    }
    for (const auto& [name, what] : recording_kinds()) {
        const bool sound = name == "sound";
        out.recordings.push_back({.group = "Files, seen from this one's folder",
                                  .key = name,
                                  .value = name + (sound ? ".wav" : ".csv"),
                                  .says = {what}});
    }
    return out;
}

}  // namespace damper
