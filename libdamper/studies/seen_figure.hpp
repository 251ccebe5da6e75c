// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper {

/// A figure that a recording or a person has given.
struct SeenFigure {
    std::string measure;
    double value = 0.0;  ///< In the units of the measure.
    std::string from;    ///< The recording, or given_by_person.
};

inline constexpr const char* given_by_person = "the complaint";

}  // namespace damper
