// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/recordings/recording_findings.hpp"

#include <span>
#include <string>

namespace damper {

/// Adds a remark; `about` is one of a few words, `text` a sentence.
void note(RecordingFindings& findings, QualityWeight weight, std::string about, std::string text);

/// Gravest first, otherwise as they came; figures of a recording in doubt are marked.
void settle_quality(RecordingFindings& findings);

/// Times of rows: gaps against the usual spacing, unevenness.
void look_at_times(RecordingFindings& findings, std::span<const double> time);

/// Values that stand at their largest or smallest several times in a row: clipped. `what` names
/// them: "The sound". For sound `full` is full scale.
void look_for_clipping(RecordingFindings& findings, std::span<const double> values,
                       const char* what);

/// Values that repeat from row to row: the sensor is read more often than it measures.
void look_for_held_values(RecordingFindings& findings, std::span<const double> values,
                          const char* what);

/// Silence of a few milliseconds inside a sound: the recorder lost some.
void look_for_silence(RecordingFindings& findings, std::span<const double> values, double step);

}  // namespace damper
