// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/describe/measured_table.hpp"
#include "libdamper/results/cover_record.hpp"

#include <vector>

namespace damper {

/// Measured clamp loads against those of the spring at the same way of the plate. Deviations are
/// shares of the computed value.
[[nodiscard]] CoverComparison compare_clamp(const ClutchModel& model, const MeasuredTable& table);

/// Measured release loads and lifts, as far as the table has them, against those of new facings.
/// Deviations are shares of the largest computed value, since both begin at 0.
[[nodiscard]] std::vector<CoverComparison> compare_release(const ClutchModel& model,
                                                           const MeasuredTable& table);

}  // namespace damper
