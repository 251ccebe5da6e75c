// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnose.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/diagnosis_tests.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/recorded_bench.hpp"
#include "libdamper/studies/recorded_figures.hpp"
#include "libdamper/studies/suit_discs.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

const Choice* choice_of(const Question& question, const std::string& name) {
    const auto found = std::ranges::find(question.choices, name, &Choice::name);
    return found != question.choices.end() ? &*found : nullptr;
}

/// What was measured, of a group of figures.
std::string measured_words(const std::string& shown_by) {
    if (shown_by == "run") return "What recordings show";
    if (shown_by == "gauges") return "What was measured on the vehicle";
    if (shown_by == "press") return "What cover and facings show on the bench";
    return "What the disc shows on the torsion bench";
}

/// Figures that say on their own what their group says, most telling first.
std::vector<std::size_t> telling(const EvidenceWeight& group) {
    constexpr double least = 0.1;  // in powers of ten
    std::vector<std::pair<std::size_t, double>> sorted;
    for (const auto& [figure, weight] : group.figures) {
        if (weight * group.weight > 0.0 && std::abs(weight) >= least) {
            sorted.emplace_back(figure, std::abs(weight));
        }
    }
    std::ranges::stable_sort(sorted, std::greater<>(), &std::pair<std::size_t, double>::second);
    std::vector<std::size_t> out;
    for (const auto& [figure, weight] : sorted) out.push_back(figure);
    return out;
}

void take_causes(const std::vector<RankedCause>& ranking, const ComplaintKind& kind,
                 const DiagnosisRequest& request, const Knowledge& knowledge,
                 const CauseVehicles& vehicles, DiagnosisRecord& record) {
    for (const RankedCause& ranked : ranking) {
        const CandidateCause& known = kind.causes[ranked.cause];
        DiagnosisCause cause{.name = known.name(),
                             .title = known.title,
                             .seat = known.seat,
                             .is_of_clutch = is_of_clutch(known.seat),
                             .is_simulated = vehicles.simulated[ranked.cause],
                             .prior = ranked.prior,
                             .probability = ranked.probability,
                             .evidence = {},
                             .look = known.look,
                             .mend = known.mend,
                             .beware = known.beware,
                             .middle = {},
                             .low = {},
                             .high = {}};
        for (const EvidenceWeight& one : ranked.evidence) {
            DiagnosisEvidence evidence{one.what, "", "", one.weight, telling(one)};
            if (const Question* question = knowledge.questions.find(one.what)) {
                evidence.asks = question->asks;
                for (const auto& [name, choice] : request.complaint.answers) {
                    if (name == one.what) evidence.answer = choice_of(*question, choice)->says;
                }
            } else {
                evidence.asks = measured_words(one.what);
            }
            cause.evidence.push_back(std::move(evidence));
        }
        std::ranges::stable_sort(cause.evidence, std::greater<>(),
                                 [](const auto& one) { return std::abs(one.weight); });
        const FigureSpread spread = spread_of(vehicles.rows[ranked.cause], vehicles.scales);
        cause.middle = spread.middle;
        cause.low = spread.low;
        cause.high = spread.high;
        if (cause.is_of_clutch) record.clutch_probability += cause.probability;
        record.causes.push_back(std::move(cause));
    }
}

/// Discs of the class in the run of the complaint and in those of other complaints at idle and
/// under changes of load: what another disc would bring, and cost.
void try_discs(const ComplaintKind& kind, const VehiclesAsked& asked, const Knowledge& knowledge,
               const Progress& progress, DiagnosisRecord& record) {
    DiscsAsked discs{.complaint = &kind, .others = {}, .cause = nullptr, .vehicles = asked};
    for (const char* other : {"rattle at idle", "clunk"}) {
        if (const ComplaintKind* one = knowledge.find(other)) discs.others.push_back(one);
    }
    // With a cause outside the disc another one might hide it, or be the way to live with it.
    constexpr double likely = 0.5;
    const DiagnosisCause& first = record.causes.front();
    const auto known = knowledge.causes.find(first.name);
    if (known != knowledge.causes.end() && first.is_simulated && first.probability >= likely &&
        first.seat != "facings" && first.seat != "cover" && first.seat != "release") {
        const bool in_disc = std::ranges::any_of(
            known->second.changes, [](const auto& one) { return one.first.starts_with("disc"); });
        if (!in_disc) discs.cause = &known->second;
    }
    suit_discs(discs, progress, record);
}

/// Progress of a part of the work.
Progress part_of(const Progress& whole, double from, double to) {
    return {.report = [&whole, from, to](double share) { whole.tell(std::lerp(from, to, share)); },
            .stop_requested = whole.stop_requested};
}

}  // namespace

DiagnosisRecord diagnose(const DiagnosisRequest& request, const Knowledge& knowledge,
                         const Progress& progress) {
    const Complaint& complaint = request.complaint;
    const ComplaintKind& known = knowledge.of(complaint.symptom);
    VehiclesAsked asked = request.vehicles;
    const Vehicle vehicle = take_vehicle(complaint, asked);

    DiagnosisRecord record;
    Scenario named;
    named.name = complaint.name;
    named.title = complaint.title;
    named.origin = complaint.origin;
    named.vehicle = vehicle;
    record.identity = identity_of(named, "diagnosis", request.command_line);
    record.title = complaint.title;
    record.origin = complaint.origin;
    record.vehicle = vehicle.title;
    record.vehicle_class = vehicle.vehicle_class;
    record.symptom = complaint.symptom;
    record.words = known.words;
    record.mileage = complaint.mileage;
    record.notes = complaint.notes;
    record.truth = complaint.truth;
    std::vector<SeenFigure> given = request.seen;  // what a person gave comes before a recording
    RecordedFigures recorded = figures_in_recordings(complaint, vehicle);
    given.insert(given.end(), recorded.seen.begin(), recorded.seen.end());
    record.notes_on_data = std::move(recorded.notes);
    for (const auto& [name, choice] : complaint.answers) {
        const Question& question = *knowledge.questions.find(name);
        const Choice& answer = *choice_of(question, choice);
        record.answers.push_back({name, question.asks, answer.says, question.kind, answer.clears});
    }
    const ComplaintKind kind = applicable(known, knowledge.causes, vehicle, record.left_out);
    if (kind.causes.empty()) throw InputError("no known cause of this complaint fits this vehicle");

    // Tables of benches are read before the long simulation: what is wrong in them is told at once.
    const auto run = run_of_vehicle(kind, asked);
    const double reference = run ? FigureBench(source_of(kind, *run, asked)).reference_torque()
                                 : vehicle.engine.peak_torque.si();
    RecordedFigures bench = figures_of_bench(complaint, vehicle, reference);
    given.insert(given.end(), bench.seen.begin(), bench.seen.end());
    record.notes_on_data.insert(record.notes_on_data.end(), bench.notes.begin(), bench.notes.end());

    const double causes = request.try_discs ? 0.85 : 1.0;  // of the time, about
    const CauseVehicles vehicles =
        simulate_causes(kind, knowledge.causes, asked, part_of(progress, 0.0, causes));
    record.run = vehicles.run;
    record.vehicles = static_cast<int>(vehicles.healthy.rows());
    record.notes_on_data.insert(record.notes_on_data.end(), vehicles.notes.begin(),
                                vehicles.notes.end());
    std::vector<FigureGroup> groups;
    if (!vehicles.measures.empty()) groups = figure_groups(vehicles.rows, vehicles.shown_by);
    const SeenFigures seen = on_scales(given, vehicles);
    const std::vector<RankedCause> ranking = rank_causes(
        kind, knowledge.questions, vehicle.vehicle_class, complaint.answers, groups, seen);
    take_figures(vehicles, given, record);
    take_causes(ranking, kind, request, knowledge, vehicles, record);
    note_strangers(record);
    note_sound(vehicles, seen, ranking.front().cause, record);
    take_tests(kind, in_order(ranking), complaint, knowledge.questions, vehicles, groups, seen,
               record);
    if (request.try_discs && !progress.must_stop()) {
        try_discs(kind, asked, knowledge, part_of(progress, causes, 1.0), record);
    }
    return record;
}

}  // namespace damper
