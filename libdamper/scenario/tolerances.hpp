// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

namespace damper {

/// How far a value may lie from that of its baseline: the largest of what is given.
struct Tolerance {
    std::optional<double> absolute;  ///< In the value's SI units. ≥ 0
    std::optional<double> relative;  ///< Share of the stored value; of a signal, of its range. ≥ 0
    std::optional<double> intervals;  ///< Times the certainty of old and new together. ≥ 0
};

/// Tolerances by the names of measures and signals.
struct Tolerances {
    std::map<std::string, Tolerance> measures;
    std::map<std::string, Tolerance> signals;
    std::string source = "built in";  ///< The file they were read from.
};

/// What holds for a measure: of each kind what `given` says, else what is built in. Where `given`
/// says something of a measure, only that holds of `absolute` and `relative`.
[[nodiscard]] Tolerance tolerance_of_measure(const Tolerances& given, std::string_view name);
[[nodiscard]] Tolerance tolerance_of_signal(const Tolerances& given, std::string_view name);

}  // namespace damper
