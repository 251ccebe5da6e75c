// SPDX-License-Identifier: MIT
// Discs with known truth on a noisy bench. Seeds are those of no tuning.
#include "libdamper/base/parallel.hpp"

#include "tests/support/fit_trial.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <vector>

using namespace damper;
using namespace damper::testing;

namespace {

double share(const std::vector<double>& deviations, double within) {
    const auto count = std::ranges::count_if(deviations, [&](double x) { return x < within; });
    return static_cast<double>(count) / static_cast<double>(deviations.size());
}

double median(std::vector<double> values) {
    std::ranges::nth_element(values, values.begin() + std::ssize(values) / 2);
    return values[values.size() / 2];
}

}  // namespace

TEST_CASE("of 200 random loops the stages are counted, measured and bracketed") {
    constexpr std::size_t count = 200;
    std::vector<FitTrial> trials(count);
    in_parallel(count, 0,
                [&](std::size_t i, std::size_t) { trials[i] = try_fit(static_cast<unsigned>(i)); });
    int right = 0, intervals = 0, covering = 0;
    std::vector<double> stiffness, friction;
    for (const FitTrial& one : trials) {
        right += one.stages_right ? 1 : 0;
        intervals += one.intervals;
        covering += one.covering;
        stiffness.insert(stiffness.end(), one.stiffness.begin(), one.stiffness.end());
        friction.insert(friction.end(), one.friction.begin(), one.friction.end());
    }
    CHECK(right >= 190);
    CHECK(intervals > 2000);
    const double covered = static_cast<double>(covering) / intervals;
    MESSAGE(right << " of 200 counted right; intervals cover in " << 100.0 * covered << " %");
    CHECK(covered >= 0.90);
    CHECK(covered <= 0.98);
    CHECK(median(stiffness) < 0.01);
    CHECK(median(friction) < 0.03);
    CHECK(share(stiffness, 0.03) > 0.98);
    CHECK(share(friction, 0.08) > 0.98);
}

TEST_CASE("a spring taken out is named in 95 of 100 discs") {
    constexpr std::size_t count = 100;
    std::vector<char> named(count, 0);
    in_parallel(count, 0, [&](std::size_t i, std::size_t) {
        named[i] = names_the_lost_spring(static_cast<unsigned>(i)) ? 1 : 0;
    });
    const auto hits = std::ranges::count(named, 1);
    MESSAGE(hits << " of 100 named");
    CHECK(hits >= 95);
}

TEST_CASE("a bench that runs the same loop many times tells no less than one that does it thrice") {
    constexpr std::size_t count = 12;
    for (const int loops : {12, 60}) {
        std::vector<FitTrial> trials(count);
        in_parallel(count, 0, [&](std::size_t i, std::size_t) {
            trials[i] = try_fit(static_cast<unsigned>(900 + i), {.loops = loops, .samples = 1000});
        });
        int right = 0;
        std::vector<double> stiffness, friction;
        for (const FitTrial& one : trials) {
            right += one.stages_right ? 1 : 0;
            stiffness.insert(stiffness.end(), one.stiffness.begin(), one.stiffness.end());
            friction.insert(friction.end(), one.friction.begin(), one.friction.end());
        }
        CAPTURE(loops);
        CHECK(right >= 10);
        CHECK(median(stiffness) < 0.01);
        CHECK(median(friction) < 0.03);
        CHECK(share(stiffness, 0.03) > 0.95);
        CHECK(share(friction, 0.08) > 0.95);
    }
}
