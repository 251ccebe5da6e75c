// SPDX-License-Identifier: MIT
#include "libdamper/measures/run_view.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <span>
#include <utility>

namespace damper {

double RunView::duration() const {
    if (signals.time.empty()) return 0.0;
    return std::max(0.0, signals.time.back() - facts.measured_from);
}

double RunView::mean_speed() const {
    const double step = signals.step();
    if (!(facts.engine_speed > 0.0) || !(step > 0.0)) return 0.0;
    const std::span<const double> speed = signals.from("flywheel_speed", facts.measured_from);
    const double cycle = 4.0 * std::numbers::pi / facts.engine_speed;
    const double cycles = std::floor(static_cast<double>(speed.size()) * step / cycle + 1e-9);
    if (cycles < 1.0) return 0.0;
    const auto count = std::min(speed.size(), static_cast<std::size_t>(cycles * cycle / step));
    return std::accumulate(speed.begin(), speed.begin() + static_cast<std::ptrdiff_t>(count), 0.0) /
           static_cast<double>(count);
}

void add(Measured& measured, std::string name, std::string units, Better better, double value,
         std::string definition) {
    measured.measures.push_back(
        {std::move(name), std::move(units), std::move(definition), better, value});
}

}  // namespace damper
