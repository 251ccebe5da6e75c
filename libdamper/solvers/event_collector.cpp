// SPDX-License-Identifier: MIT
#include "libdamper/solvers/event_collector.hpp"

#include <algorithm>
#include <utility>

namespace damper {

EventCollector::EventCollector(const Driveline& line, Sink* samples)
    : table_(event_names(line)), samples_(samples) {}

void EventCollector::sample(const Instant& instant) {
    if (samples_ != nullptr) samples_->sample(instant);
}

EventTable EventCollector::take() {
    std::stable_sort(table_.impacts.begin(), table_.impacts.end(),
                     [](const Impact& a, const Impact& b) { return a.time < b.time; });
    return std::exchange(table_, {});
}

}  // namespace damper
