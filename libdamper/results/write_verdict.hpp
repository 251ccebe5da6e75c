// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/h5_write.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <vector>

namespace damper {

/// Group `measures`: a number each, with unit, definition and, where it was judged, its limit.
void write_measures(GroupOut& root, const std::vector<MeasureValue>& measures,
                    const Verdict& verdict);

/// Group `verdict`: grade, headline, reasons, judgements, cautions; bands stand elsewhere.
void write_verdict(GroupOut& root, const Verdict& verdict);

}  // namespace damper
