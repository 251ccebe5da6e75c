// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/results/cover_record.hpp"

#include <vector>

namespace damper {

/// The numbers of a clutch that have a limit, and those that its verdict speaks of.
[[nodiscard]] std::vector<MeasureValue> cover_figures(const CoverRecord& record,
                                                      const ClutchModel& model);

}  // namespace damper
