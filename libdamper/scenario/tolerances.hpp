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

/// Tolerances of the owner of a baseline, by the names of measures and signals.
struct Tolerances {
    std::map<std::string, Tolerance> measures;
    std::map<std::string, Tolerance> signals;
};

/// What the owner gives for a name instead of what is built in. `absolute` and `relative` go
/// together: who gives one of them replaces both.
[[nodiscard]] Tolerance given_or(const std::map<std::string, Tolerance>& given,
                                 std::string_view name, const Tolerance& built_in);

}  // namespace damper
