// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/vehicle.hpp"
#include "libdamper/studies/recorded_figures.hpp"

namespace damper {

/// What the tables of a disc bench ("loop", "loop_idle") and of a press ("clamp_load",
/// "release_travel") of a complaint give, as figures of studies/workshop_figures.hpp.
///
/// A loop is fitted first, which takes off noise, zero and drift; its figures are those of the
/// fitted disc, as far as the bench turned it. The load over wear is read at no wear; the lift over
/// travel where the lift is what `vehicle`'s discs need to turn freely. `reference` [N m]: see
/// disc_bench_figures(). Throws InputError, FileError if a table cannot be read.
[[nodiscard]] RecordedFigures figures_of_bench(const Complaint& complaint, const Vehicle& vehicle,
                                               double reference);

}  // namespace damper
