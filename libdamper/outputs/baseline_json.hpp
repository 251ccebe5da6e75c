// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/baseline.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Largest file that is read as a baseline [bytes].
inline constexpr std::size_t largest_baseline = std::size_t{4} * 1024 * 1024;

/// A baseline as JSON, a measure a line and ten numbers of a signal a line, so that a comparison
/// of two versions of the file shows what changed. Nine digits of measures, six of signals.
[[nodiscard]] std::string baseline_json(const Baseline& baseline);

/// Reads it back. `file` is the name for messages. Throws InputError if the text is no baseline,
/// or one of a later version of the format.
[[nodiscard]] Baseline read_baseline(std::string_view text, const std::string& file);

/// What is new, gone or has another value from one baseline to another, a line each:
/// "shuffle_frequency 4.33 -> 4.55 Hz (+5.1 %)".
[[nodiscard]] std::vector<std::string> baseline_changes(const Baseline& before,
                                                        const Baseline& after);

}  // namespace damper
