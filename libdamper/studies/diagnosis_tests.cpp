// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnosis_tests.hpp"

#include "libdamper/diagnosis/answer_table.hpp"
#include "libdamper/studies/diagnosis_figures.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

/// What it takes to measure a group of figures. Minutes are common practice, no source.
DiagnosisTest test_of(const FigureGroup& group, const CauseVehicles& vehicles) {
    DiagnosisTest out{.name = group.shown_by,
                      .asks = {},
                      .how = {},
                      .caution = {},
                      .kind = "measured",
                      .minutes = 0.0,
                      .bits = 0.0,
                      .outcomes = {},
                      .figures = {}};
    for (const Eigen::Index column : group.columns) {
        out.figures.push_back(static_cast<std::size_t>(column));
    }
    if (group.shown_by == "run") {
        out.name = "recordings";
        out.asks = "Record what this complaint shows and give it as [recordings] or [measured]";
        out.how = fmt::format("In the state of \"{}\"{}.", vehicles.run,
                              vehicles.state.empty() ? "" : fmt::format(" ({})", vehicles.state));
        out.steps = in_words(vehicles.guide);
        out.minutes = 45.0;
    } else if (group.shown_by == "gauges") {
        out.asks = "Measure on the vehicle, nothing removed, and give it as [measured]";
        out.how = "Any of these.";
        out.minutes = 20.0;
    } else {
        const bool press = group.shown_by == "press";
        out.kind = "opened";
        out.asks = press ? "Put the cover into a press and measure the disc; give it as "
                           "[measured] or [recordings]"
                         : "Turn the disc slowly on a torsion bench and give the loop as "
                           "[recordings] loop";
        out.how = "Gearbox off.";
        out.caution =
            "A gearbox jack, by the vehicle maker's procedure; old dust is wiped up damp, "
            "never blown off. Springs of a cover are under load.";
        out.minutes = 300.0;
    }
    return out;
}

}  // namespace

void take_tests(const ComplaintKind& kind, const std::vector<double>& probabilities,
                const Complaint& complaint, const QuestionList& questions,
                const CauseVehicles& vehicles, const std::vector<FigureGroup>& groups,
                const SeenFigures& seen, DiagnosisRecord& record) {
    constexpr double least_bits = 0.02;
    record.open_bits = entropy(probabilities);
    for (const std::string& name : kind.questions) {
        const Question& question = *questions.find(name);
        const bool answered = std::ranges::any_of(
            complaint.answers, [&](const auto& one) { return one.first == name; });
        const bool measured = std::ranges::any_of(record.figures, [&](const auto& one) {
            return one.seen && one.name == question.same_as;
        });
        if (answered || measured) continue;
        ++record.unanswered;
        DiagnosisTest test{.name = name,
                           .asks = question.asks,
                           .how = question.how,
                           .caution = question.caution,
                           .kind = question.kind,
                           .minutes = question.minutes.si(),
                           .bits = expected_information(probabilities, kind, question),
                           .outcomes = {},
                           .figures = {}};
        if (test.bits < least_bits) continue;
        for (std::size_t a = 0; a < question.choices.size(); ++a) {
            std::vector<double> joint(kind.causes.size());
            double whole = 0.0;
            for (std::size_t c = 0; c < joint.size(); ++c) {
                joint[c] = probabilities[c] * answer_chances(question, kind.causes[c])[a];
                whole += joint[c];
            }
            const auto lead = std::ranges::max_element(joint) - joint.begin();
            const auto index = static_cast<std::size_t>(lead);
            test.outcomes.push_back(
                {question.choices[a].says, whole, kind.causes[index].title, joint[index] / whole});
        }
        record.tests.push_back(std::move(test));
    }
    const std::vector<double> errors = errors_expected(vehicles);
    for (const FigureGroup& group : groups) {
        if (group.seen_in(seen.values)) continue;
        DiagnosisTest test = test_of(group, vehicles);
        test.bits = expected_information(probabilities, group, vehicles.rows, errors);
        if (test.bits >= least_bits) record.tests.push_back(std::move(test));
    }
    constexpr double least_minutes = 2.0;  // to ask, and to write the answer down
    std::ranges::stable_sort(record.tests, std::greater<>(), [](const DiagnosisTest& test) {
        return test.bits / (test.minutes + least_minutes);
    });
}

}  // namespace damper
