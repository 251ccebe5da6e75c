// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <vector>

namespace damper {

/// The modes of a take-up's driveline while its clutch slips, at some clamp loads, as rows of the
/// record of modes. Loads that the tyres cannot carry are left out. The friction gradient is that
/// of the facings at `slip_looked_at`.
[[nodiscard]] std::vector<SlippingModes> slipping_rows(const Scenario& scenario,
                                                       const TakeUp& take_up);

}  // namespace damper
