// SPDX-License-Identifier: MIT
// The closed form of a disc on the bench against the general one, which shares only the cells.
#include "libdamper/fit/bench_path.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/quasi_static.hpp"

#include "tests/support/random_bench.hpp"

#include <doctest/doctest.h>
#include <vector>

using namespace damper;
using namespace damper::testing;

namespace {

Branch branch_of(const Disc& disc) {
    Branch branch{.name = "disc",
                  .kind = "disc",
                  .row = {{0, 1.0}},
                  .damping = 0.0,
                  .chain = disc_cells(disc)};
    if (disc.spline_play.si() > 0.0) branch.chain.push_back(spline_cell(disc));
    return branch;
}

double torque_at(const BenchPath& path, double twist) {
    for (std::size_t i = 1; i < path.twist.size(); ++i) {
        const double low = std::min(path.twist[i - 1], path.twist[i]);
        const double high = std::max(path.twist[i - 1], path.twist[i]);
        if (twist < low || twist > high || high == low) continue;
        const double share = (twist - path.twist[i - 1]) / (path.twist[i] - path.twist[i - 1]);
        return path.torque[i - 1] + share * (path.torque[i] - path.torque[i - 1]);
    }
    return std::nan("");
}

}  // namespace

TEST_CASE("the closed bench path is the general quasi-static one, whatever the way") {
    Dice dice(7);
    for (int n = 0; n < 60; ++n) {
        Disc disc = random_disc(dice, dice.whole(1, 5));
        if (n % 3 == 1) disc.spline_play = Angle::from_si(dice.uniform(0.1, 1.5) * degree);
        if (n % 4 == 2) disc.stages[0].preload = disc.stages[0].hysteresis;
        const double high = disc.stages.back().drive_end.si() * 1.05;
        const double low = -disc.stages.back().coast_end.si() * 1.05;
        DiscBench closed(disc);
        const Branch branch = branch_of(disc);
        QuasiStatic general(branch);
        double largest = 0.0;
        for (int move = 0; move < 12; ++move) {
            const double target = move == 0 ? high : dice.uniform(low, high);
            BenchPath path;
            closed.move_to(target, path);
            const double from = general.twist();
            for (int i = 1; i <= 25; ++i) {
                const double twist = i == 25 ? target : from + (target - from) * i / 25.0;
                const double torque = general.move_to(twist);
                largest = std::max(largest, std::abs(torque));
                CAPTURE(n);
                CAPTURE(move);
                CAPTURE(twist / degree);
                CHECK(std::abs(torque_at(path, twist) - torque) <= 1e-9 * largest);
            }
        }
    }
}

TEST_CASE("friction with play has no closed path") {
    Dice dice(1);
    Disc disc = random_disc(dice, 2);
    disc.stages[0].friction_play = Angle::from_si(0.01);
    CHECK_THROWS_AS(DiscBench bench(disc), ModelError);
}
