// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>

namespace damper::command {

/// The scenario of a scenario file, or a vehicle file as a scenario of its own: idling in neutral,
/// pedal up, no consumers, gearbox oil at 80 °C (the defaults of a scenario file). `verb` is that
/// for messages. Throws InputError.
[[nodiscard]] Scenario read_driven(const std::string& word, const ReadOptions& options,
                                   const std::string& verb);

}  // namespace damper::command
