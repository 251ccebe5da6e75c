// SPDX-License-Identifier: MIT
#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double cycle = 4.0 * std::numbers::pi;
constexpr double widest = 10.0 / 180.0 * std::numbers::pi;  // from one angle to the next
constexpr double firing = 60.0 / 180.0 * std::numbers::pi;  // around which the peak must lie
constexpr double hair = 1e-6;

Finding about(std::string found, std::string expected, std::string mend) {
    return {{}, "pressure_trace", std::move(found), std::move(expected), std::move(mend)};
}

}  // namespace

std::vector<Finding> check(const PressureTrace& trace) {
    std::vector<Finding> findings;
    const std::size_t n = trace.angle.size();
    if (n < 2 || trace.pressure.size() != n) {
        findings.push_back(about("fewer than two values", "a whole cycle, 720 deg", ""));
        return findings;
    }
    double gap = 0.0;
    for (std::size_t i = 1; i < n; ++i) gap = std::max(gap, trace.angle[i] - trace.angle[i - 1]);
    const double around = trace.angle.front() + cycle - trace.angle.back();
    if (around < -hair || std::max(gap, around) > widest * (1.0 + hair)) {
        findings.push_back(about(fmt::format("angles from {} to {}, at most {} apart",
                                             write_quantity(Angle::from_si(trace.angle.front())),
                                             write_quantity(Angle::from_si(trace.angle.back())),
                                             write_quantity(Angle::from_si(gap))),
                                 "one whole cycle of 720 deg, nowhere more than 10 deg apart",
                                 "Give one cycle; where several were recorded, their mean."));
        return findings;
    }
    const auto low = std::ranges::min_element(trace.pressure);
    const auto high = std::ranges::max_element(trace.pressure);
    if (!(*low > 0.0)) {
        findings.push_back(
            about(fmt::format("a pressure of {}", write_quantity(Pressure::from_si(*low))),
                  "absolute pressures, all above 0",
                  "Add the pressure of the air if they were measured against it."));
    }
    const double at = trace.angle[static_cast<std::size_t>(high - trace.pressure.begin())];
    if (std::abs(std::remainder(at, cycle)) > firing) {
        findings.push_back(
            about(fmt::format("the highest pressure at {}", write_quantity(Angle::from_si(at))),
                  "it within 60 deg of the top dead centre of firing, which is 0 deg",
                  "Shift the angles so that 0 deg is the top dead centre of firing."));
    }
    return findings;
}

}  // namespace damper
