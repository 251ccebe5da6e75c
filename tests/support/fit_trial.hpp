// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/fit/compare_disc.hpp"
#include "libdamper/fit/fit_disc.hpp"

#include "tests/support/synthetic_bench.hpp"

#include <chrono>
#include <cmath>
#include <string>
#include <vector>

namespace damper::testing {

/// How a fit stands to the disc that it was recorded from.
struct FitTrial {
    bool stages_right = false;
    std::vector<double> stiffness, friction;  ///< Deviations, over the truth.
    int intervals = 0, covering = 0;          ///< Of measured figures; of these, with the truth.
    double seconds = 0.0;                     ///< Of the fit.
};

/// A random disc of 2 to 4 stages on a random bench: 1 % torque noise, 0.05 deg twist noise, zeros
/// and drift.
[[nodiscard]] inline FitTrial try_fit(unsigned seed, const SyntheticBench& bench = {}) {
    Dice dice(1000 + seed);
    const auto count = static_cast<std::size_t>(2 + seed % 3);
    const Disc disc = random_disc(dice, static_cast<int>(count));
    const std::vector<BenchRun> runs = record_all(disc, bench, dice);
    FitTrial out;
    const auto begin = std::chrono::steady_clock::now();
    const DiscFit fit = fit_disc(runs);
    out.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    out.stages_right = fit.stages.size() == count;
    if (!out.stages_right) return out;
    const auto look = [&](const Estimate& found, double truth, std::vector<double>* deviations) {
        if (found.known != Known::measured) return;
        ++out.intervals;
        if (truth >= found.low && truth <= found.high) ++out.covering;
        if (deviations != nullptr) deviations->push_back(std::abs(found.value / truth - 1.0));
    };
    for (std::size_t i = 0; i < count; ++i) {
        const DiscStage& truth = disc.stages[i];
        const FittedStage& found = fit.stages[i];
        look(found.drive_stiffness, truth.stiffness.si(), &out.stiffness);
        look(found.coast_stiffness, truth.coast_stiffness.si(), &out.stiffness);
        look(found.drive_end, truth.drive_end.si(), nullptr);
        look(found.coast_end, truth.coast_end.si(), nullptr);
        look(found.hysteresis, truth.hysteresis.si(), &out.friction);
        if (truth.preload.si() > 0.0) look(found.preload, truth.preload.si(), nullptr);
    }
    return out;
}

/// True if a fit to such a disc with one of six springs of its last stage taken out says so.
[[nodiscard]] inline bool names_the_lost_spring(unsigned seed) {
    Dice dice(1000 + seed);
    const int count = 2 + static_cast<int>(seed % 3);
    Disc nominal = random_disc(dice, count);
    nominal.stages.back().springs = 6;
    Disc broken = nominal;
    DiscStage& stage = broken.stages.back();
    stage.stiffness = Stiffness::from_si(stage.stiffness.si() * 5.0 / 6.0);
    stage.coast_stiffness = Stiffness::from_si(stage.coast_stiffness.si() * 5.0 / 6.0);
    Dice bench(5000 + seed);
    const DiscComparison seen = compare_disc(fit_disc(record_all(broken, {}, bench)), nominal);
    const std::string where = fmt::format("in stage {}", count);
    for (const std::string& finding : seen.findings) {
        if (finding.find(where) != std::string::npos &&
            finding.find("spring") != std::string::npos) {
            return true;
        }
    }
    return false;
}

}  // namespace damper::testing
