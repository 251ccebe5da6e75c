// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/number_text.hpp"
#include "libdamper/results/response_record.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Words that the text and the page of a response have in common.

/// A unit per newton metre as a workshop reads it: "(rad/s)/(N.m)" → rpm per N m.
[[nodiscard]] Shown shown_per_torque(std::string_view units);

/// "lets through 38 %", "passes it on as it is" (within 5 %), "amplifies 2.3 times"; "–" if it is
/// not known.
[[nodiscard]] std::string isolation_words(double ratio);

/// Where the response was taken, in sentences.
[[nodiscard]] std::string point_words(const ResponseRecord& record);
/// What the disc does at the firing frequency at the swing it meets; empty if that is not told.
[[nodiscard]] std::string met_words(const ResponseRecord& record);
/// What was assumed for friction in the curves.
[[nodiscard]] std::string friction_words(const ResponseRecord& record);
/// How exact the whole is.
[[nodiscard]] std::string_view response_method();

/// Cells of the table of stages: stage, side, torque, stiffness, friction slipping, sticking, words
/// on the former. `stage_headings` go with it.
struct Heading {
    const char* text;
    bool numeric;
};
[[nodiscard]] std::vector<Heading> stage_headings();
[[nodiscard]] std::vector<std::vector<std::string>> stage_rows(const ResponseRecord& record);
/// Response, frequency, peak, unit, damping.
[[nodiscard]] std::vector<Heading> resonance_headings();
[[nodiscard]] std::vector<std::vector<std::string>> resonance_rows(const ResponseRecord& record);

}  // namespace damper
