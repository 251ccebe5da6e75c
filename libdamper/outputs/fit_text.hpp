// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/fit_record.hpp"

#include <string>

namespace damper {

/// A fitted disc for a terminal: its stages with intervals, how it stands to nominal, the runs,
/// what is left open. UTF-8, ends with a line end.
[[nodiscard]] std::string fit_text(const FitRecord& record);

/// The same as JSON: SI with units beside the values; what is not finite is null. Points and loops
/// are in the HDF5 file.
[[nodiscard]] std::string fit_json(const FitRecord& record);

}  // namespace damper
