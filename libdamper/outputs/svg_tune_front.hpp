// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/tune_record.hpp"

#include <string>

namespace damper {

/// Every candidate with all its figures over both objectives, as worst margins; the front drawn as
/// a stair, fitted and tuned disc named. Shapes tell the worst grade. What lies far below the front
/// stands on the edge.
[[nodiscard]] std::string svg_tune_front(const TuneRecord& record);

}  // namespace damper
