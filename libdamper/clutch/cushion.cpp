// SPDX-License-Identifier: MIT
#include "libdamper/clutch/cushion.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cstddef>

namespace damper {

namespace {

/// y at `place` on the straight pieces through (x, y), constant outside.
double between(const std::vector<double>& x, const std::vector<double>& y, double place) {
    const auto above = std::ranges::upper_bound(x, place);
    if (above == x.begin()) return y.front();
    if (above == x.end()) return y.back();
    const auto i = static_cast<std::size_t>(above - x.begin());
    return y[i - 1] + (y[i] - y[i - 1]) * (place - x[i - 1]) / (x[i] - x[i - 1]);
}

}  // namespace

Cushion::Cushion(std::vector<double> deflection, std::vector<double> load, int discs) {
    if (deflection.size() != load.size() || discs < 1) {
        throw ModelError("a cushion needs as many loads as deflections, and at least one disc");
    }
    for (std::size_t i = 0; i < deflection.size(); ++i) {
        x_.push_back(discs * deflection[i]);
        y_.push_back(load[i]);
        if (x_[i + 1] > x_[i] && y_[i + 1] > y_[i]) continue;
        throw ModelError("the points of a cushion curve must rise from (0, 0) in both directions");
    }
}

double Cushion::load(double deflection) const {
    return between(x_, y_, deflection);
}

double Cushion::deflection(double load) const {
    return between(y_, x_, load);
}

double Cushion::energy(double deflection) const {
    double energy = 0.0;
    for (std::size_t i = 1; i < x_.size() && x_[i - 1] < deflection; ++i) {
        const double end = std::min(deflection, x_[i]);
        energy += 0.5 * (y_[i - 1] + between(x_, y_, end)) * (end - x_[i - 1]);
    }
    return energy;
}

}  // namespace damper
