// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/figure_groups.hpp"
#include "libdamper/diagnosis/knowledge.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// What was measured, on the scale of its figures; empty where it was not.
struct SeenFigures {
    std::vector<std::optional<double>> values;
    std::vector<double> errors;
};

/// What one piece of evidence says of one cause: log10 of how much likelier it is with the cause
/// than over all causes as they stood before (weighted by their prior).
struct EvidenceWeight {
    std::string what;  ///< Name of a question, or of a group of figures.
    double weight = 0.0;
    /// Of a group: column and weight of each figure that was seen, as if it were the only one.
    /// They do not add up to that of the group, since figures hang together.
    std::vector<std::pair<std::size_t, double>> figures;
};

struct RankedCause {
    std::size_t cause = 0;  ///< In the complaint's list.
    double prior = 0.0;
    double probability = 0.0;
    std::vector<EvidenceWeight> evidence;
};

/// Bayes' rule over the causes of a complaint: exactly one of them holds, answers are independent
/// given the cause, and so are groups of figures; none if nothing was simulated. Sorted by
/// probability, largest first.
[[nodiscard]] std::vector<RankedCause> rank_causes(
    const ComplaintKind& kind, const QuestionList& questions, const std::string& vehicle_class,
    const std::vector<std::pair<std::string, std::string>>& answers,
    const std::vector<FigureGroup>& groups, const SeenFigures& seen);

/// The answers without those that say once more what was measured (`measures`), which are not
/// independent of it.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> beside_measures(
    const std::vector<std::pair<std::string, std::string>>& answers, const QuestionList& questions,
    const std::vector<std::string>& measures);

/// Probabilities in the order of the complaint's causes.
[[nodiscard]] std::vector<double> in_order(const std::vector<RankedCause>& ranking);

/// Entropy of a distribution [bit].
[[nodiscard]] double entropy(const std::vector<double>& probabilities);

/// What the answer to a question is expected to tell about the cause [bit]: the entropy of the
/// causes less the expected entropy once it is known. T. M. Cover, J. A. Thomas, "Elements of
/// Information Theory", 2nd ed. 2006, equation 2.40 (mutual information).
[[nodiscard]] double expected_information(const std::vector<double>& probabilities,
                                          const ComplaintKind& kind, const Question& question);

/// The same for figures of a group that have not been measured: for each cause in turn its vehicles
/// are taken as what would be.
[[nodiscard]] double expected_information(const std::vector<double>& probabilities,
                                          const FigureGroup& group,
                                          const std::vector<FigureRows>& vehicles,
                                          const std::vector<double>& errors);

}  // namespace damper
