// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/scenario/scenario.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What a workshop records of a manoeuvre.
struct RecordingGuide {
    std::string length;  ///< From when to when, in sentences.
    /// Keys of [recordings], and for each the sensor, its place and the values a second.
    std::vector<std::pair<std::string, std::string>> kinds;
    [[nodiscard]] bool empty() const { return kinds.empty(); }
};

/// Recordings of a scenario's manoeuvre that give any of these measures. Rates and lengths are
/// what the recordings' own quality notes and measures ask for (recordings/enough.hpp).
[[nodiscard]] RecordingGuide what_to_record(const Scenario& scenario,
                                            const std::vector<std::string>& measures);

/// A guide in lines, the rules of files behind; empty where there is nothing to record.
[[nodiscard]] std::vector<std::string> in_words(const RecordingGuide& guide);

/// What holds of the files of all recordings, in sentences.
[[nodiscard]] const std::vector<std::string>& recording_rules();

}  // namespace damper
