// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnosis_causes.hpp"

#include "libdamper/studies/diagnosis_figures.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

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

}  // namespace

const Choice* choice_of(const Question& question, const std::string& name) {
    const auto found = std::ranges::find(question.choices, name, &Choice::name);
    return found != question.choices.end() ? &*found : nullptr;
}

void take_causes(const std::vector<RankedCause>& ranking, const ComplaintKind& kind,
                 const Answers& answers, const QuestionList& questions,
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
            if (const Question* question = questions.find(one.what)) {
                evidence.asks = question->asks;
                for (const auto& [name, choice] : answers) {
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

}  // namespace damper
