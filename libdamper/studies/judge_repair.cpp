// SPDX-License-Identifier: MIT
#include "libdamper/studies/judge_repair.hpp"

#include "libdamper/studies/diagnosis_causes.hpp"
#include "libdamper/studies/diagnosis_figures.hpp"
#include "libdamper/studies/diagnosis_tests.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

// How often a repair leaves the cause in place, and how often it brings or leaves another one;
// what drivers then say. Common practice, no source.
constexpr double missed = 0.5, missed_renewed = 0.1, another = 0.05;
constexpr double gone_if_cured = 0.95, gone_if_not = 0.1;
constexpr double there_if_cured = 0.05, there_if_not = 0.8;

// Conventions of this tool: a case is closed from here on, and is not below there.
constexpr double closed_from = 0.95, not_closed_below = 0.2;

/// The causes with "cured" behind them, weighted by what is known without figures of the repaired
/// vehicle.
ComplaintKind with_cured(const ComplaintKind& kind, const Repair& repair,
                         const std::vector<RankedCause>& before) {
    ComplaintKind out = kind;
    const bool gone = repair.complaint == "gone", there = repair.complaint == "still there";
    const double word_if_cured = gone ? gone_if_cured : there ? there_if_cured : 1.0;
    const double word_if_not = gone ? gone_if_not : there ? there_if_not : 1.0;
    double left = 0.0;
    for (const RankedCause& one : before) {
        CandidateCause& cause = out.causes[one.cause];
        const bool renewed = std::ranges::find(repair.renewed, cause.seat) != repair.renewed.end();
        const double stays = renewed ? missed_renewed : missed;
        const double share = stays * std::lerp(one.probability, one.prior, another);
        left += share;
        cause.weight = Ratio::from_si(std::max(share, 1e-12) * word_if_not);
        cause.classes.clear();
    }
    CandidateCause cured;
    cured.outside = cured_cause;
    cured.title = "Cured";
    cured.weight = Ratio::from_si((1.0 - left) * word_if_cured);
    out.causes.push_back(std::move(cured));
    return out;
}

RepairVerdict verdict_of(const RepairRecord& record) {
    // Of some complaints nothing can be measured.
    const bool looked = record.measured || record.state.figures.empty();
    if (record.cured >= closed_from && looked && record.complaint != "still there" &&
        !record.is_denied_by_figures()) {
        return RepairVerdict::closed;
    }
    if (record.cured < not_closed_below) return RepairVerdict::not_closed;
    return RepairVerdict::open;
}

double probability_of(const std::vector<RankedCause>& ranking, std::size_t cause) {
    return std::ranges::find(ranking, cause, &RankedCause::cause)->probability;
}

}  // namespace

Complaint since_repair(const Complaint& complaint) {
    Complaint out = complaint;
    const Repair& repair = *complaint.repair;
    out.answers = repair.answers;
    out.measured = repair.measured;
    out.recordings = repair.recordings;
    out.changes.insert(out.changes.end(), repair.changes.begin(), repair.changes.end());
    return out;
}

RepairRecord judge_repair(const RepairedState& repaired, const ComplaintKind& kind,
                          const QuestionList& questions, const std::vector<RankedCause>& before,
                          CauseVehicles vehicles, const DiagnosisRecord& found) {
    const Repair& repair = repaired.repair;
    const ComplaintKind all = with_cured(kind, repair, before);
    vehicles.rows.push_back(vehicles.healthy);
    vehicles.simulated.push_back(vehicles.healthy.rows() > 0);
    const std::vector<FigureGroup> groups = figure_groups(vehicles.rows, vehicles.shown_by);
    const SeenFigures seen = on_scales(repaired.given.seen, vehicles);
    const std::string& vehicle_class = repaired.asked.vehicle_class;
    const Answers answers =
        beside_measures(repair.answers, questions, measures_used(repaired.given.seen, vehicles));
    const auto rank = [&](const std::vector<FigureGroup>& by) {
        return rank_causes(all, questions, vehicle_class, answers, by, seen);
    };
    const std::size_t cured = all.causes.size() - 1;
    const std::vector<RankedCause> ranking = rank(groups);

    RepairRecord record;
    record.done = repair.done;
    record.complaint = repair.complaint;
    record.renewed = repair.renewed;
    record.other_parts = !repair.changes.empty();
    record.cured = probability_of(ranking, cured);
    record.cured_unmeasured = probability_of(rank({}), cured);
    record.state.vehicle = found.vehicle;
    record.state.run = vehicles.run;
    record.state.notes_on_data = repaired.given.notes;
    take_figures(vehicles, repaired.given.seen, record.state);
    take_causes(ranking, all, answers, questions, vehicles, record.state);
    note_strangers(record.state);
    for (const DiagnosisFigure& figure : record.state.figures) {
        const auto same = std::ranges::find(found.figures, figure.name, &DiagnosisFigure::name);
        record.before.push_back(same != found.figures.end() ? same->seen : std::nullopt);
        if (record.before.back() && !figure.seen) record.not_repeated.push_back(figure.name);
        record.measured = record.measured || figure.seen.has_value();
    }
    record.verdict = verdict_of(record);
    if (record.verdict != RepairVerdict::closed) {
        take_tests(all, in_order(ranking), repaired.complaint, questions, vehicles, groups, seen,
                   record.state);
    }
    return record;
}

}  // namespace damper
