// SPDX-License-Identifier: MIT
#include "libdamper/signals/signal_set.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>

namespace damper {

bool SignalSet::has(std::string_view name) const {
    return std::any_of(signals.begin(), signals.end(),
                       [&](const Signal& signal) { return signal.name == name; });
}

const Signal& SignalSet::at(std::string_view name) const {
    const auto found = std::find_if(signals.begin(), signals.end(),
                                    [&](const Signal& signal) { return signal.name == name; });
    if (found == signals.end()) {
        throw ModelError("there is no signal \"" + std::string(name) + "\" in this run");
    }
    return *found;
}

std::size_t SignalSet::index_at(double start) const {
    // A sample that misses the start by rounding still counts.
    const double slack = 1e-9 * step();
    return static_cast<std::size_t>(std::lower_bound(time.begin(), time.end(), start - slack) -
                                    time.begin());
}

std::span<const double> SignalSet::from(std::string_view name, double start) const {
    const std::span<const double> all = at(name).values;
    return all.subspan(std::min(index_at(start), all.size()));
}

double SignalSet::step() const {
    return time.size() < 2 ? 0.0
                           : (time.back() - time.front()) / static_cast<double>(time.size() - 1);
}

}  // namespace damper
