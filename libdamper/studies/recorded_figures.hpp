// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/recordings/recording_findings.hpp"
#include "libdamper/studies/diagnose.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What the recordings of a complaint give, as measures of the complaint's run.
struct RecordedFigures {
    std::vector<SeenFigure> seen;
    std::vector<std::string> notes;  ///< On the quality of the recordings, gravest first.
    std::vector<RecordingFindings> findings;
};

/// Reads the recordings that a complaint names and takes from them what its run measures as well:
/// the firing order of flywheel and gearbox input, the disc's isolation, the half order, knocks,
/// shuffle, judder. A recording that is unusable gives notes and no figures. `cylinders` of the
/// engine. Throws InputError, FileError if a recording cannot be read.
[[nodiscard]] RecordedFigures figures_in_recordings(const Complaint& complaint, int cylinders);

/// The same of recordings by kind and file ("flywheel", "input_shaft", …), in a manoeuvre.
[[nodiscard]] RecordedFigures figures_in_recordings(
    const std::vector<std::pair<std::string, std::string>>& files, RecordedManoeuvre manoeuvre,
    int cylinders);

/// A measure's value from findings, or nothing: "transfer" from the isolation at the firing order.
[[nodiscard]] std::vector<SeenFigure> measures_in(const RecordingFindings& findings);

}  // namespace damper
