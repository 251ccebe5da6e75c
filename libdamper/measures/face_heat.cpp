// SPDX-License-Identifier: MIT
#include "libdamper/measures/face_heat.hpp"

#include <cmath>
#include <cstddef>
#include <numbers>

namespace damper {

std::vector<double> surface_rise(std::span<const double> flux, double step, double effusivity) {
    std::vector<double> root(flux.size() + 1);
    for (std::size_t i = 0; i < root.size(); ++i) {
        root[i] = std::sqrt(step * static_cast<double>(i));
    }
    std::vector<double> rise(flux.size(), 0.0);
    const double scale = 2.0 / (effusivity * std::sqrt(std::numbers::pi));
    for (std::size_t n = 0; n < flux.size(); ++n) {
        for (std::size_t j = 0; j <= n; ++j) rise[n] += flux[j] * (root[n + 1 - j] - root[n - j]);
        rise[n] *= scale;
    }
    return rise;
}

}  // namespace damper
