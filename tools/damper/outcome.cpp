// SPDX-License-Identifier: MIT
#include "tools/damper/outcome.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace damper::command {

Outcome outcome_of(const RunRecord& record) {
    if (!record.solver.complete) return {ExitStatus::not_finished, ""};
    std::vector<std::string> limits;
    for (const Judgement& judgement : record.verdict.judgements) {
        if (judgement.grade == Grade::bad) limits.push_back(key_text(judgement.measure));
    }
    std::vector<std::string> bands;
    for (const BandResult& band : record.verdict.bands) {
        if (!band.within) bands.push_back(key_text(band.measure));
    }
    std::string why;
    if (record.verdict.grade == Grade::bad) {
        why = limits.empty() ? "a limit is missed"
                             : fmt::format("a limit is missed ({})", fmt::join(limits, ", "));
    }
    if (!bands.empty()) {
        why += fmt::format("{}a band of the scenario is missed ({})", why.empty() ? "" : " and ",
                           fmt::join(bands, ", "));
    }
    return {why.empty() ? ExitStatus::done : ExitStatus::limit_missed, why};
}

}  // namespace damper::command
