// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// How a scenario is to be solved.
struct RunSettings {
    std::string solver = "auto";    ///< "auto", "general" or "exact"; auto takes the exact one.
    double tolerance = 1e-8;        ///< Relative, of the general solver. 1e-13…1e-5
    std::string command_line = {};  ///< Kept in the record.
};

}  // namespace damper
