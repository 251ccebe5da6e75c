// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/contenders.hpp"
#include <optional>
#include <vector>

namespace damper::benchmarks {

constexpr double error_step = 1e-4;   ///< Spacing of the samples that are compared [s].
constexpr double short_span = 20e-3;  ///< [s]
constexpr double long_span = 100e-3;  ///< [s]
constexpr double matched = 1e-7;      ///< Error over the short span at which times are compared.

/// Error of a course against a reference up to `until` [s]: with ω the deviation of the input
/// shaft's speed from the mean, at every sample of both,
///
///     max |ω − ω_reference| / max |ω_reference|,     0 ≤ t ≤ until
[[nodiscard]] double error(const std::vector<double>& course, const std::vector<double>& reference,
                           double until);

/// The loosest tolerance, in steps of half a decade, whose error against `reference` is at most
/// `matched` over the short span; none if even the tightest, 1e-12, does not reach it.
[[nodiscard]] std::optional<double> matching_tolerance(const Prepared& prepared, Family family,
                                                       const std::vector<double>& reference);

}  // namespace damper::benchmarks
