// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/diagnosis_record.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace damper {

enum class RepairVerdict { closed, open, not_closed };

/// What became of a case by its repair.
struct RepairRecord {
    std::string done;       ///< In words.
    std::string complaint;  ///< What the driver says since: "gone", "still there" or "unknown".
    std::vector<std::string> renewed;  ///< Seats whose parts are new.
    bool other_parts = false;          ///< The vehicle has other parts since.
    RepairVerdict verdict = RepairVerdict::open;
    double cured = 0.0;             ///< Probability that nothing is left of it.
    double cured_unmeasured = 0.0;  ///< The same without what was measured since.
    bool measured = false;          ///< Something that the complaint shows in was measured since.
    /// The vehicle since: figures; causes that may still be there, with "cured" among them.
    DiagnosisRecord state;
    /// Of each figure of `state`: what was seen before the repair.
    std::vector<std::optional<double>> before;
    std::vector<std::string> not_repeated;  ///< Measures seen before the repair only.

    /// By what factor figures measured since raise the odds of a cure, above what was known
    /// without.
    [[nodiscard]] double odds_by_figures() const {
        return cured * (1.0 - cured_unmeasured) /
               std::max(cured_unmeasured * (1.0 - cured), 1e-300);
    }
    /// Whether what was measured since speaks for a cure, or against one: by a factor of two, or by
    /// less with a figure that sound vehicles do not show.
    [[nodiscard]] bool is_told_by_figures() const { return odds_by_figures() >= 2.0; }
    [[nodiscard]] bool is_denied_by_figures() const {
        const bool off = std::ranges::any_of(state.figures, &DiagnosisFigure::is_unlike_sound);
        return odds_by_figures() < (off ? 1.0 : 0.5);
    }
};

/// Whether there was a repair that closes the case.
[[nodiscard]] inline bool is_closed(const std::optional<RepairRecord>& repair) {
    return repair && repair->verdict == RepairVerdict::closed;
}

/// Name of the cause of `RepairRecord::state` that stands for none being left.
inline constexpr const char* cured_cause = "cured";

}  // namespace damper
