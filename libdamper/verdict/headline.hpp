// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <string>
#include <vector>

namespace damper {

/// One sentence on a run. Its topic is that of the judgements with the worst grade; milder ones do
/// not lead. `judgements` as in Verdict, worst first.
[[nodiscard]] std::string headline_of(const RunFacts& facts,
                                      const std::vector<Judgement>& judgements);

}  // namespace damper
