// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// An interval in which a measure is expected; bounds in the measure's SI units.
struct ExpectedBand {
    std::string measure;
    double low = 0.0;
    double high = 0.0;
    std::string source;
};

/// Every measure that has a limit, held against it; worst first. The margin is that to the good
/// limit, as a share of it; that of a temperature counts in steps from good to bad.
[[nodiscard]] std::vector<Judgement> judgements_of(std::string_view vehicle_class,
                                                   const std::vector<MeasureValue>& measures);

/// Holds each measure that has a limit against it, says why the run came out as it did, and
/// compares with the expected bands. A band on a measure that the run does not have is reported as
/// not within, its value not a number. Bands do not change the grade.
[[nodiscard]] Verdict judge(const RunFacts& facts, const Measured& measured,
                            std::span<const ExpectedBand> bands = {});

}  // namespace damper
