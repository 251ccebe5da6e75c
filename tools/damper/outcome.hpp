// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include "tools/damper/exit_status.hpp"

#include <string>

namespace damper::command {

/// How a run ended, for its caller.
struct Outcome {
    ExitStatus status = ExitStatus::done;
    std::string why;  ///< "a limit is missed (…)"; empty unless a limit or band is missed.
};

/// A limit is missed if the verdict is bad or a measure left the band that its scenario expects.
[[nodiscard]] Outcome outcome_of(const RunRecord& record);

}  // namespace damper::command
