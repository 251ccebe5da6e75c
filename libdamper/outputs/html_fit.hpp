// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/fit_record.hpp"

#include <string>

namespace damper {

/// The page of a fitted disc: verdict, the loops with the disc drawn over them, what is left,
/// figures with intervals, what is open. One file that needs no other.
[[nodiscard]] std::string html_fit(const FitRecord& record);

}  // namespace damper
