// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/chart.hpp"
#include "libdamper/results/run_record.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Everything of the page that all sections have in common for a time chart of a run: the axis.
[[nodiscard]] Chart time_chart(const RunRecord& record, std::string id, std::string title);

/// Adds a signal in shown units if the run has it; says whether it did.
bool add_signal(Chart& chart, const RunRecord& record, std::string_view name, std::string label,
                Stroke stroke, int tone);

/// Smallest, mean and largest value of a signal over the time that is measured.
struct Spread {
    double low = 0.0, mean = 0.0, high = 0.0;
};

/// In the units of the signal; nothing if there is no finite sample.
[[nodiscard]] std::optional<Spread> spread_of(const RunRecord& record, std::string_view signal);

/// "Flywheel: 790 to 846, mean 820 rpm over the time that is measured."; empty without samples.
[[nodiscard]] std::string spread_text(const RunRecord& record, std::string_view signal,
                                      std::string_view label);

/// What this run has otherwise than its files: "changed on the command line: KEY = VALUE" or
/// "changed by the scenario: KEY = VALUE" or "changed by the cause NAME: KEY = VALUE".
[[nodiscard]] std::vector<std::string> change_texts(const RunIdentity& identity);

}  // namespace damper
