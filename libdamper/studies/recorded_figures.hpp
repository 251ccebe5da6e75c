// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/parts/vehicle.hpp"
#include "libdamper/recordings/find_in_recordings.hpp"
#include "libdamper/studies/seen_figure.hpp"

#include <string>
#include <vector>

namespace damper {

/// What the recordings of a complaint give, as measures of the complaint's run.
struct RecordedFigures {
    std::vector<SeenFigure> seen;
    std::vector<std::string> notes;  ///< On the quality of the recordings, gravest first.
    std::vector<RecordingFindings> findings;
};

/// What is asked of the recordings of a complaint: cylinders, manoeuvre, and the torque of one
/// cylinder at idle by the engine's own combustion, where it is described by one.
[[nodiscard]] RecordingRequest recording_request(const std::string& symptom,
                                                 const Vehicle& vehicle);

/// Takes from recordings of a complaint what its run measures as well, by the definitions of the
/// run's measures: firing order of flywheel and gearbox input, isolation, half order, shuffle,
/// judder, slip (see recorded_measures.hpp). A recording that is unusable gives notes and no
/// figures. `idle_speed` of the engine [rad/s]. Knocks counted in a sound are no measure: a run
/// counts every contact of teeth, an ear those that stand out.
[[nodiscard]] RecordedFigures figures_in(const std::vector<WorkshopRecording>& recordings,
                                         const RecordingRequest& request,
                                         const std::string& symptom, double idle_speed);

/// Reads the recordings that a complaint names and takes their figures. Throws InputError,
/// FileError if a recording cannot be read.
[[nodiscard]] RecordedFigures figures_in_recordings(const Complaint& complaint,
                                                    const Vehicle& vehicle);

/// A measure's value from findings, or nothing: "transfer" from the isolation at the firing order.
[[nodiscard]] std::vector<SeenFigure> measures_in(const RecordingFindings& findings);

}  // namespace damper
