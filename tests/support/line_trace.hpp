// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/event_collector.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace damper::test {

/// Angles and speeds of every inertia at every sample, deviations from uniform rotation.
class LineTrace final : public Sink {
  public:
    void sample(const Instant& instant) override {
        const Driveline& line = instant.stacked->line();
        time.push_back(instant.time);
        for (std::size_t i = 0; i < line.masses.size(); ++i) {
            angle.push_back(instant.angle[i] +
                            line.masses[i].reference_speed * instant.stacked->turn());
            speed.push_back(instant.speed[i]);
        }
    }
    std::vector<double> time, angle, speed;  ///< Sample by sample, then inertia by inertia.
};

/// How an exact run ended, with all its events.
struct EventfulOutcome : TimeOutcome {
    EventTable events;
};

[[nodiscard]] inline EventfulOutcome solve_with_events(const Driveline& line, const State& start,
                                                       const TimeSettings& settings,
                                                       Sink* sink = nullptr) {
    EventCollector collector(line, sink);
    EventfulOutcome out{solve_exact(line, start, settings, &collector), {}};
    out.events = collector.take();
    return out;
}

/// Largest difference of two lists over the largest magnitude in them; infinite if their lengths
/// differ or a number is missing.
[[nodiscard]] inline double largest_share(const std::vector<double>& a,
                                          const std::vector<double>& b) {
    if (a.size() != b.size() || a.empty()) return HUGE_VAL;
    double worst = 0.0, size = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        if (!std::isfinite(a[i]) || !std::isfinite(b[i])) return HUGE_VAL;
        worst = std::max(worst, std::abs(a[i] - b[i]));
        size = std::max({size, std::abs(a[i]), std::abs(b[i])});
    }
    return size > 0.0 ? worst / size : 0.0;
}

}  // namespace damper::test
