// SPDX-License-Identifier: MIT
#include "libdamper/diagnosis/answer_table.hpp"

#include <algorithm>
#include <numeric>
#include <stdexcept>

namespace damper {

std::size_t choice_number(const Question& question, const std::string& choice) {
    for (std::size_t i = 0; i < question.choices.size(); ++i) {
        if (question.choices[i].name == choice) return i;
    }
    throw std::out_of_range(question.name + " has no choice " + choice);
}

std::vector<double> answer_chances(const Question& question, const CandidateCause& cause) {
    std::vector<double> out(question.choices.size(), 0.0);
    const auto said = std::ranges::find(cause.answers, question.name, &CauseAnswers::question);
    if (said != cause.answers.end()) {
        for (const auto& [choice, weight] : said->choices) {
            out[choice_number(question, choice)] = weight;
        }
    } else {
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = question.choices[i].usual.si();
    }
    const double sum = std::accumulate(out.begin(), out.end(), 0.0);
    const double even = 1.0 / static_cast<double>(out.size());
    for (double& one : out) {
        one = (1.0 - wrong_answers) * (sum > 0.0 ? one / sum : even) + wrong_answers * even;
    }
    return out;
}

}  // namespace damper
