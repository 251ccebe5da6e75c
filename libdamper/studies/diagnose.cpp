// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnose.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/diagnosis_causes.hpp"
#include "libdamper/studies/diagnosis_tests.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/judge_repair.hpp"
#include "libdamper/studies/suit_discs.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace damper {

namespace {

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

void describe_case(const DiagnosisRequest& request, const ComplaintKind& known,
                   const Vehicle& vehicle, DiagnosisRecord& record) {
    const Complaint& complaint = request.complaint;
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
}

/// Torque that the loops of a disc are compared at.
double reference_torque(const ComplaintKind& kind, const VehiclesAsked& asked,
                        const Vehicle& vehicle) {
    const auto run = run_of_vehicle(kind, asked);
    return run ? FigureBench(source_of(kind, *run, asked)).reference_torque()
               : vehicle.engine.peak_torque.si();
}

/// The vehicle as it was given back, with what was measured on it.
RepairedState repaired_state(const DiagnosisRequest& request, const ComplaintKind& kind,
                             const VehiclesAsked& before) {
    RepairedState out{.complaint = since_repair(request.complaint),
                      .repair = *request.complaint.repair,
                      .asked = before,
                      .given = {}};
    const Vehicle vehicle = take_vehicle(out.complaint, out.asked);
    out.given = all_figures(out.complaint, request.seen_since_repair, vehicle,
                            reference_torque(kind, out.asked, vehicle));
    return out;
}

}  // namespace

DiagnosisOutcome diagnose(const DiagnosisRequest& request, const Knowledge& knowledge,
                          const Progress& progress) {
    const Complaint& complaint = request.complaint;
    const ComplaintKind& known = knowledge.of(complaint.symptom);
    VehiclesAsked asked = request.vehicles;
    const Vehicle vehicle = take_vehicle(complaint, asked);
    DiagnosisOutcome out;
    DiagnosisRecord& record = out.found;
    describe_case(request, known, vehicle, record);
    for (const auto& [name, choice] : complaint.answers) {
        const Question& question = *knowledge.questions.find(name);
        const Choice& answer = *choice_of(question, choice);
        record.answers.push_back({name, question.asks, answer.says, question.kind, answer.clears});
    }
    const ComplaintKind kind = applicable(known, knowledge.causes, vehicle, record.left_out);
    if (kind.causes.empty()) throw InputError("no known cause of this complaint fits this vehicle");

    // Tables and recordings are read before the long simulation: what is wrong in them is told at
    // once.
    const double reference = reference_torque(kind, asked, vehicle);
    const RecordedFigures given = all_figures(complaint, request.seen, vehicle, reference);
    record.notes_on_data = given.notes;
    std::optional<RepairedState> repaired;
    if (complaint.repair) repaired = repaired_state(request, kind, asked);

    const bool anew = repaired && !complaint.repair->changes.empty();  // other vehicles to simulate
    const double discs = request.try_discs ? 0.15 : 0.0;               // of the time, about
    const double causes = (1.0 - discs) / (anew ? 2.0 : 1.0);
    const CauseVehicles vehicles =
        simulate_causes(kind, knowledge.causes, asked, part_of(progress, 0.0, causes));
    record.run = vehicles.run;
    record.vehicles = static_cast<int>(vehicles.healthy.rows());
    record.notes_on_data.insert(record.notes_on_data.end(), vehicles.notes.begin(),
                                vehicles.notes.end());
    const std::vector<FigureGroup> groups = figure_groups(vehicles.rows, vehicles.shown_by);
    const SeenFigures seen = on_scales(given.seen, vehicles);
    const Answers answers = beside_measures(complaint.answers, knowledge.questions,
                                            measures_used(given.seen, vehicles));
    const std::vector<RankedCause> ranking =
        rank_causes(kind, knowledge.questions, vehicle.vehicle_class, answers, groups, seen);
    take_figures(vehicles, given.seen, record);
    take_causes(ranking, kind, answers, knowledge.questions, vehicles, record);
    note_strangers(record);
    note_sound(vehicles, seen, ranking.front().cause, record);
    if (repaired && !progress.must_stop()) {
        CauseVehicles since = anew ? simulate_causes(kind, knowledge.causes, repaired->asked,
                                                     part_of(progress, causes, 2.0 * causes))
                                   : vehicles;
        out.repair =
            judge_repair(*repaired, kind, knowledge.questions, ranking, std::move(since), record);
    } else {
        take_tests(kind, in_order(ranking), complaint, knowledge.questions, vehicles, groups, seen,
                   record);
    }
    if (request.try_discs && !is_closed(out.repair) && !progress.must_stop()) {
        try_discs(kind, asked, knowledge, part_of(progress, 1.0 - discs, 1.0), record);
    }
    return out;
}

}  // namespace damper
