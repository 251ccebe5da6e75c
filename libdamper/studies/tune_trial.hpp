// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/results/tune_record.hpp"
#include "libdamper/studies/disc_packaging.hpp"
#include "libdamper/studies/run_settings.hpp"
#include "libdamper/studies/standing.hpp"
#include "libdamper/studies/tune_space.hpp"

#include <optional>
#include <vector>

namespace damper {

/// What one thread keeps from candidate to candidate: a reader a scenario.
struct TuneWorker {
    std::vector<ScenarioReader> readers;
    RunMeasures workspace;
};

/// What every trial of a search has in common.
struct TuneTrial {
    const TuneRecord* record = nullptr;  ///< Cases, conditions and measures are read.
    const TuneSpace* space = nullptr;
    DiscPackaging packaging;
    const RunSettings* run = nullptr;

    /// Runs the cases of a candidate: none if it does not keep the packaging limits, and no more of
    /// them once it is worse than `floor`. Nothing if a stop request came on the way.
    [[nodiscard]] std::optional<TuneCandidate> of(const std::vector<double>& values,
                                                  const std::optional<Standing>& floor,
                                                  TuneWorker& worker, const Progress& stop) const;
    /// The fitted disc: no changes, no packaging.
    [[nodiscard]] std::optional<TuneCandidate> of_fitted(TuneWorker& worker,
                                                         const Progress& stop) const;
};

/// Figures of one run: every measure with a limit that is not left out. A limit at zero that is
/// kept to the full says nothing about how good a disc is, and is not among them. `measures` and
/// `left_out` as in TuneRecord.
[[nodiscard]] std::vector<TuneFigure> figures_of(const std::vector<Judgement>& judgements,
                                                 const std::vector<Judgement>& measures,
                                                 const std::vector<std::string>& left_out);

/// Sets aside what is out of reach in a case, or makes it a limit missed where it is worse than the
/// fitted disc by more than is allowed.
void set_aside(const TuneRecord& record, std::size_t of_case, std::vector<TuneFigure>& figures);

/// Worst first; without what is aside.
[[nodiscard]] std::vector<Standing> standings_of(const TuneCandidate& candidate);
/// The worst of an objective; the best there can be if nothing of it was judged.
[[nodiscard]] Standing standing_in(const TuneCandidate& candidate, const TuneObjective& objective);

/// What a local search climbs: the position of the worst figure on the scale of its limits, and a
/// little of the next worst ones, so that there is a way on where the worst cannot be helped.
/// Packaging misses and failures lie far below every disc that runs.
[[nodiscard]] double climbing_score(const TuneCandidate& candidate);

}  // namespace damper
