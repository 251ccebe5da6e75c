// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/errors.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace damper::benchmarks {

double error(const std::vector<double>& course, const std::vector<double>& reference,
             double until) {
    const auto last = static_cast<std::size_t>(std::lround(until / error_step));
    double worst = 0.0;
    double swing = 0.0;
    // Whether the last sample is there is a matter of rounding.
    for (std::size_t i = 0; i <= last && i < std::min(course.size(), reference.size()); ++i) {
        worst = std::max(worst, std::abs(course[i] - reference[i]));
        swing = std::max(swing, std::abs(reference[i]));
    }
    return worst / swing;
}

std::optional<double> matching_tolerance(const Prepared& prepared, Family family,
                                         const std::vector<double>& reference) {
    for (int half_decade = 8; half_decade <= 24; ++half_decade) {  // 1e-4 … 1e-12
        const double tolerance = std::pow(10.0, -0.5 * half_decade);
        try {
            const Course course = run(prepared, {family, tolerance}, short_span, error_step);
            if (error(course.input_speed, reference, short_span) <= matched) return tolerance;
        } catch (const std::runtime_error&) {
            // A peer that gives up at this tolerance may manage a tighter one.
        }
    }
    return std::nullopt;
}

}  // namespace damper::benchmarks
