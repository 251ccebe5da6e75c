// SPDX-License-Identifier: MIT
// fit_loops [COUNT]: how fast and how well discs are found from random bench loops.
#include "tests/support/fit_trial.hpp"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>
#include <vector>

int main(int argc, char** argv) {
    using namespace damper::testing;
    const unsigned count = argc > 1 ? static_cast<unsigned>(std::atoi(argv[1])) : 200U;
    std::vector<double> seconds, stiffness, friction;
    unsigned right = 0, named = 0;
    int intervals = 0, covering = 0;
    for (unsigned seed = 0; seed < count; ++seed) {
        const FitTrial one = try_fit(seed);
        seconds.push_back(one.seconds);
        right += one.stages_right ? 1U : 0U;
        intervals += one.intervals;
        covering += one.covering;
        stiffness.insert(stiffness.end(), one.stiffness.begin(), one.stiffness.end());
        friction.insert(friction.end(), one.friction.begin(), one.friction.end());
        named += names_the_lost_spring(seed) ? 1U : 0U;
    }
    const auto at = [](std::vector<double> values, double share) {
        if (values.empty()) return 0.0;
        std::ranges::sort(values);
        return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
    };
    fmt::print("discs                 {}\n", count);
    fmt::print("stages counted right  {:.1f} %\n", 100.0 * right / count);
    fmt::print("stiffness off by      {:.2f} % median, {:.2f} % in 95 of 100\n",
               100.0 * at(stiffness, 0.5), 100.0 * at(stiffness, 0.95));
    fmt::print("friction off by       {:.2f} % median, {:.2f} % in 95 of 100\n",
               100.0 * at(friction, 0.5), 100.0 * at(friction, 0.95));
    fmt::print("95 % intervals cover  {:.1f} % of {}\n", 100.0 * covering / intervals, intervals);
    fmt::print("lost spring named     {:.1f} %\n", 100.0 * named / count);
    fmt::print("time of a fit         {:.0f} ms median, {:.0f} ms longest\n",
               1e3 * at(seconds, 0.5), 1e3 * at(seconds, 1.0));
    return 0;
}
