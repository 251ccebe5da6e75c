// SPDX-License-Identifier: MIT
#include "libdamper/diagnosis/ranking.hpp"

#include "libdamper/diagnosis/answer_table.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace damper {

namespace {

/// Brings log weights to probabilities.
std::vector<double> normalised(std::vector<double> logs) {
    const double top = *std::ranges::max_element(logs);
    double sum = 0.0;
    for (double& one : logs) sum += one = std::exp(one - top);
    for (double& one : logs) one /= sum;
    return logs;
}

std::vector<double> priors(const ComplaintKind& kind, const std::string& vehicle_class) {
    std::vector<double> out;
    for (const CandidateCause& cause : kind.causes) {
        double weight = cause.weight.si();
        for (const auto& [name, factor] : cause.classes) {
            if (name == vehicle_class) weight *= factor;
        }
        out.push_back(weight);
    }
    const double sum = std::accumulate(out.begin(), out.end(), 0.0);
    for (double& one : out) one /= sum;
    return out;
}

/// log10 p(evidence | cause) for every cause, less that over all of them.
std::vector<double> weights_of(const std::vector<double>& logs, const std::vector<double>& prior) {
    const double top = *std::ranges::max_element(logs);
    double whole = 0.0;
    for (std::size_t c = 0; c < logs.size(); ++c) whole += prior[c] * std::exp(logs[c] - top);
    const double overall = top + std::log(whole);
    std::vector<double> out;
    for (const double one : logs) out.push_back((one - overall) / std::log(10.0));
    return out;
}

void take(const std::string& what, const std::vector<double>& logs,
          const std::vector<double>& prior, std::vector<RankedCause>& ranking,
          std::vector<double>& sum) {
    const std::vector<double> weights = weights_of(logs, prior);
    for (std::size_t c = 0; c < logs.size(); ++c) {
        sum[c] += logs[c];
        ranking[c].evidence.push_back({.what = what, .weight = weights[c], .figures = {}});
    }
}

std::vector<double> logs_of(const FigureGroup& group,
                            const std::vector<std::optional<double>>& values,
                            const std::vector<double>& errors, std::size_t causes) {
    std::vector<double> out;
    for (std::size_t c = 0; c < causes; ++c) out.push_back(group.log_density(c, values, errors));
    return out;
}

/// What each figure of a group says on its own, into the evidence that was taken last.
void take_figures(const FigureGroup& group, const SeenFigures& seen,
                  const std::vector<double>& prior, std::vector<RankedCause>& ranking) {
    for (const Eigen::Index column : group.columns) {
        const auto f = static_cast<std::size_t>(column);
        if (!seen.values[f]) continue;
        std::vector<std::optional<double>> alone(seen.values.size());
        alone[f] = seen.values[f];
        const auto weights = weights_of(logs_of(group, alone, seen.errors, prior.size()), prior);
        for (std::size_t c = 0; c < weights.size(); ++c) {
            ranking[c].evidence.back().figures.emplace_back(f, weights[c]);
        }
    }
}

}  // namespace

std::vector<RankedCause> rank_causes(
    const ComplaintKind& kind, const QuestionList& questions, const std::string& vehicle_class,
    const std::vector<std::pair<std::string, std::string>>& answers,
    const std::vector<FigureGroup>& groups, const SeenFigures& seen) {
    const std::size_t count = kind.causes.size();
    const std::vector<double> prior = priors(kind, vehicle_class);
    std::vector<RankedCause> ranking(count);
    std::vector<double> sum(count);
    for (std::size_t c = 0; c < count; ++c) {
        ranking[c].cause = c;
        ranking[c].prior = prior[c];
        sum[c] = std::log(prior[c]);
    }
    std::vector<double> logs(count);
    for (const auto& [name, choice] : answers) {
        const Question* question = questions.find(name);
        if (question == nullptr) continue;
        const std::size_t number = choice_number(*question, choice);
        for (std::size_t c = 0; c < count; ++c) {
            logs[c] = std::log(answer_chances(*question, kind.causes[c])[number]);
        }
        take(name, logs, prior, ranking, sum);
    }
    for (const FigureGroup& group : groups) {
        if (!group.seen_in(seen.values)) continue;
        take(group.shown_by, logs_of(group, seen.values, seen.errors, count), prior, ranking, sum);
        take_figures(group, seen, prior, ranking);
    }
    const std::vector<double> probability = normalised(sum);
    for (std::size_t c = 0; c < count; ++c) ranking[c].probability = probability[c];
    std::ranges::stable_sort(ranking, std::greater<>(), &RankedCause::probability);
    return ranking;
}

std::vector<std::pair<std::string, std::string>> beside_measures(
    const std::vector<std::pair<std::string, std::string>>& answers, const QuestionList& questions,
    const std::vector<std::string>& measures) {
    auto out = answers;
    std::erase_if(out, [&](const auto& one) {
        const Question* question = questions.find(one.first);
        return question != nullptr && !question->same_as.empty() &&
               std::ranges::find(measures, question->same_as) != measures.end();
    });
    return out;
}

std::vector<double> in_order(const std::vector<RankedCause>& ranking) {
    std::vector<double> out(ranking.size());
    for (const RankedCause& one : ranking) out[one.cause] = one.probability;
    return out;
}

double entropy(const std::vector<double>& probabilities) {
    double sum = 0.0;
    for (const double p : probabilities) {
        if (p > 0.0) sum -= p * std::log2(p);
    }
    return sum;
}

double expected_information(const std::vector<double>& probabilities, const ComplaintKind& kind,
                            const Question& question) {
    double after = 0.0;
    std::vector<std::vector<double>> chances;
    for (const CandidateCause& cause : kind.causes) {
        chances.push_back(answer_chances(question, cause));
    }
    for (std::size_t a = 0; a < question.choices.size(); ++a) {
        std::vector<double> joint(probabilities.size());
        double whole = 0.0;
        for (std::size_t c = 0; c < joint.size(); ++c) {
            whole += joint[c] = probabilities[c] * chances[c][a];
        }
        for (double& one : joint) one /= whole;
        after += whole * entropy(joint);
    }
    return std::max(0.0, entropy(probabilities) - after);
}

double expected_information(const std::vector<double>& probabilities, const FigureGroup& group,
                            const std::vector<FigureRows>& vehicles,
                            const std::vector<double>& errors) {
    double after = 0.0;
    for (std::size_t truth = 0; truth < probabilities.size(); ++truth) {
        if (probabilities[truth] < 1e-3 || vehicles[truth].rows() == 0) {
            after += probabilities[truth] * entropy(probabilities);
            continue;
        }
        double sum = 0.0;
        const Eigen::Index rows = std::min<Eigen::Index>(vehicles[truth].rows(), 12);
        for (Eigen::Index r = 0; r < rows; ++r) {
            std::vector<std::optional<double>> values(errors.size());
            for (std::size_t f = 0; f < errors.size(); ++f) {
                const double value = vehicles[truth](r, static_cast<Eigen::Index>(f));
                if (std::isfinite(value)) values[f] = value;
            }
            std::vector<double> logs(probabilities.size());
            for (std::size_t c = 0; c < logs.size(); ++c) {
                logs[c] = std::log(std::max(probabilities[c], 1e-300)) +
                          group.log_density(c, values, errors);
            }
            sum += entropy(normalised(logs));
        }
        after += probabilities[truth] * sum / static_cast<double>(rows);
    }
    return std::max(0.0, entropy(probabilities) - after);
}

}  // namespace damper
