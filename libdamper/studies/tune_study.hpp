// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/numerics/local_search.hpp"
#include "libdamper/results/tune_record.hpp"
#include "libdamper/studies/run_settings.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// Packaging limits that take the place of the usual ones; SI.
struct AskedPackaging {
    std::optional<double> drive_twist, coast_twist;  ///< [rad]
    std::optional<double> stop_factor, coast_stop_factor, spring_work_factor;
};

/// What is to be searched for.
struct TuneRequest {
    std::vector<std::filesystem::path> scenarios;
    std::vector<CompareCondition> conditions;  ///< At least one; may be without changes.
    ReadOptions read;                          ///< Its changes hold for all and come first.
    RunSettings run;
    std::vector<std::string> free;  ///< "KEY=LOW..HIGH" or "KEY"; empty: every usual key.
    AskedPackaging packaging;
    std::vector<std::string> left_out;  ///< Measures that do not count.
    std::vector<std::string> front;     ///< Two objectives by name; empty: chosen.
    std::int64_t evaluations = 3000;    ///< Candidates, about.
    std::uint64_t seed = 1;
    SearchMethod method = SearchMethod::subplex;
    std::size_t threads = 0;  ///< 0: as many as the processor runs at once.
};

/// Searches the free keys for the disc whose worst margin is best, as rank_options() orders discs,
/// and within the packaging limits.
///
/// Two fifths of the candidates are strewn evenly over the ranges (Sobol points, moved by the
/// seed). From the best of them that lie apart, `searches` local searches without gradients climb
/// at the same time; from the best of these, half as many climb again with smaller steps.
/// Candidates that are `depth` behind the best found before their batch began are cut after their
/// first cases: the front is whole as far down as that.
///
/// The first of the strewn candidates, up to 128, are run in everything. Limits that all of them
/// clearly miss are out of reach: they are told and do not count, but for a disc that is worse
/// there than the fitted one by more than a tenth.
///
/// Every batch is a matter of its own numbers, so that the result does not depend on the number of
/// threads. A candidate that is refused or breaks off is counted and stops nothing. A stop request
/// ends the search; what was tried until then is kept and the best of it told.
///
/// What a cause does to the fitted disc (ReadOptions::causes, CompareCondition::of_fitted) is left
/// out and told; its other changes hold.
///
/// Throws InputError if a scenario cannot be read or does not run as it stands, if the scenarios'
/// fitted discs differ, or if what is asked for does not fit.
[[nodiscard]] TuneRecord tune_disc(const TuneRequest& request, const Progress& progress = {});

}  // namespace damper
