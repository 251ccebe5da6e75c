// SPDX-License-Identifier: MIT
// Questions and causes by hand, for tests that enumerate what they mean.
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper::testing {

/// A question with its choices and their usual weights.
inline Question question(const char* name,
                         const std::vector<std::pair<const char*, double>>& choices) {
    Question out;
    out.name = name;
    for (const auto& [choice, usual] : choices) {
        out.choices.push_back({.name = choice, .says = choice, .usual = Ratio::from_si(usual)});
    }
    return out;
}

/// A cause outside the model, of the disc.
inline CandidateCause cause(const char* name, double weight, std::vector<CauseAnswers> answers) {
    CandidateCause out;
    out.outside = name;
    out.seat = "disc";
    out.weight = Ratio::from_si(weight);
    out.answers = std::move(answers);
    return out;
}

}  // namespace damper::testing
