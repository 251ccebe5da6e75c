// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/ranking.hpp"
#include "libdamper/results/diagnosis_record.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/recorded_figures.hpp"
#include "libdamper/studies/seen_figure.hpp"

#include <string>
#include <vector>

namespace damper {

/// All that was measured of a vehicle: what a person gave, which comes first, then recordings and
/// tables of benches with what is to be said of them. `reference`: torque [N m] that loops of discs
/// are compared at. Throws InputError if a file cannot be read.
[[nodiscard]] RecordedFigures all_figures(const Complaint& complaint, std::vector<SeenFigure> given,
                                          const Vehicle& vehicle, double reference);

/// Where simulated vehicles lie, figure by figure, in the units of each: the middle, and what 95 %
/// of them do not leave. NaN where none gives the figure.
struct FigureSpread {
    std::vector<double> middle, low, high;
};
[[nodiscard]] FigureSpread spread_of(const FigureRows& rows,
                                     const std::vector<FigureScale>& scales);

/// What was seen, on the scales of the figures that were simulated.
[[nodiscard]] SeenFigures on_scales(const std::vector<SeenFigure>& seen,
                                    const CauseVehicles& vehicles);

/// What would be measured of a vehicle that is not there yet: errors of a middling sound one.
[[nodiscard]] std::vector<double> errors_expected(const CauseVehicles& vehicles);

/// Puts the figures of the complaint into the record, and tells of those that say nothing here.
void take_figures(const CauseVehicles& vehicles, const std::vector<SeenFigure>& seen,
                  DiagnosisRecord& record);

/// Tells of figures that no vehicle of any cause in the record comes near: then the measurement is
/// doubtful, or the model is not that of the vehicle.
void note_strangers(DiagnosisRecord& record);

/// Finds out whether all that was recorded lies where sound vehicles' figures do, and is no
/// less likely with them than with the leading cause (`leading`, in the complaint's order): after a
/// repair the case can be closed by it.
void note_sound(const CauseVehicles& vehicles, const SeenFigures& seen, std::size_t leading,
                DiagnosisRecord& record);

}  // namespace damper
