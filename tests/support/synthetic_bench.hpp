// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/disc.hpp"
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/fit/bench_run.hpp"

#include "tests/support/random_bench.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace damper::testing {

/// Errors of a bench and its way.
struct SyntheticBench {
    double twist_noise = 0.05 * degree;
    double torque_noise = 0.01;  ///< Of the largest torque of the run
    double twist_zero = 0.0;     ///< [rad]
    double torque_zero = 0.0;    ///< Of the largest torque of the run
    double drift = 0.0;          ///< The same, from begin to end
    int loops = 3;
    int samples = 4000;  ///< Each way
};

/// Turns a disc slowly from rest to `high`, to `low`, … and back, through the general quasi-static
/// law.
inline BenchRun record(const Disc& disc, double low, double high, const SyntheticBench& bench,
                       Dice& dice, const std::string& name = "run") {
    Branch branch{.name = "disc",
                  .kind = "disc",
                  .row = {{0, 1.0}},
                  .damping = 0.0,
                  .chain = disc_cells(disc)};
    if (disc.spline_play.si() > 0.0) branch.chain.push_back(spline_cell(disc));
    QuasiStatic motion(branch);
    BenchRun run;
    run.name = name;
    std::vector<double> turns{0.0};
    for (int loop = 0; loop < bench.loops; ++loop) {
        turns.push_back(high);
        turns.push_back(low);
    }
    turns.push_back(0.0);
    for (std::size_t t = 1; t < turns.size(); ++t) {
        const double way = turns[t] - turns[t - 1];
        const int count =
            std::max(2, static_cast<int>(bench.samples * std::abs(way) / (high - low)));
        for (int i = 0; i < count; ++i) {
            const double twist = turns[t - 1] + way * i / count;
            run.twist.push_back(twist);
            run.torque.push_back(motion.move_to(twist));
        }
    }
    double largest = 0.0;
    for (const double torque : run.torque) largest = std::max(largest, std::abs(torque));
    const auto n = static_cast<double>(run.twist.size());
    for (std::size_t i = 0; i < run.twist.size(); ++i) {
        const double at = static_cast<double>(i) / n;
        run.twist[i] += bench.twist_zero + bench.twist_noise * dice.normal();
        run.torque[i] +=
            largest * (bench.torque_zero + bench.drift * at + bench.torque_noise * dice.normal());
    }
    return run;
}

/// A careful bench: all of the range with the stops, then each inner stage but the last alone,
/// within a range of its own; zeros and drift at random.
inline std::vector<BenchRun> record_all(const Disc& disc, SyntheticBench bench, Dice& dice) {
    std::vector<BenchRun> runs;
    bench.twist_zero = dice.uniform(-3.0, 3.0) * degree;
    const std::size_t stages = disc.stages.size();
    for (std::size_t r = 0; r < std::max<std::size_t>(stages, 1); ++r) {
        bench.torque_zero = 0.005 * dice.normal();
        bench.drift = dice.uniform(-0.01, 0.01);
        const DiscStage& stage = disc.stages[r == 0 ? stages - 1 : r - 1];
        const double beyond = r == 0 ? dice.uniform(0.3, 0.8) * degree : 0.0;
        const double share = r == 0 ? 1.0 : 0.92;
        if (r > 0) bench.samples = 2000;
        runs.push_back(record(disc, -share * stage.coast_end.si() - beyond,
                              share * stage.drive_end.si() + beyond, bench, dice,
                              fmt::format("run {}", r + 1)));
    }
    return runs;
}

}  // namespace damper::testing
