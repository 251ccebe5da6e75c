// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/diagnosis/knowledge.hpp"
#include "libdamper/results/match_record.hpp"
#include "libdamper/studies/figure_bench.hpp"

#include <map>
#include <string>
#include <vector>

namespace damper {

/// Share of the value and least error, with its unit as text, of a figure that can be measured.
struct KnownError {
    double share = 0.0;
    std::string floor;
};

/// Errors of the figures that complaints know. Of one that several know the largest share and its
/// floor, but a complaint whose own run is `scenario` goes before the others.
[[nodiscard]] std::map<std::string, KnownError> known_errors(
    const std::vector<ComplaintKind>& kinds, const std::string& scenario);

/// A figure that was measured, as text or number.
struct GivenFigure {
    std::string measure;
    std::string text;  ///< "0.62", "820 rpm"; empty: `value` counts.
    double value = 0.0;
    std::string error;  ///< "5 %", "3 rad/s", standard deviation; empty: what is known.
    std::string from;
};

struct MatchRequest {
    FigureSource source;
    std::string run;                ///< For people.
    std::vector<std::string> free;  ///< As --free says.
    std::vector<GivenFigure> given;
    std::map<std::string, std::string> errors;  ///< By measure; they go before known ones.
    std::map<std::string, KnownError> known;
    std::vector<std::string> notes;
    double recorded_speed = 0.0;  ///< Mean of a recording [rad/s]; 0: not known.
    std::size_t threads = 0;
    RunIdentity identity;
};

/// Free values of a description from figures that were measured of the vehicle: weighted least
/// squares of exact runs, with 95 % intervals by profile, with what cannot be told apart, and with
/// whether any such vehicle shows these figures at all. Stopped by `progress` it leaves the best
/// values so far. Does not depend on the number of threads. Throws InputError.
[[nodiscard]] MatchRecord match_model(const MatchRequest& request, const Progress& progress = {});

}  // namespace damper
