// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/fit_disc.hpp"

#include <string>
#include <vector>

namespace damper {

/// What a fit leaves open and how it was filled, in sentences.
[[nodiscard]] std::vector<std::string> fit_notes(const DiscFit& fit);

}  // namespace damper
