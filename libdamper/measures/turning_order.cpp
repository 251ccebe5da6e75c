// SPDX-License-Identifier: MIT
#include "libdamper/measures/turning_order.hpp"

#include "libdamper/signals/judder.hpp"

#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace damper {

namespace {

constexpr double window = 0.3;      // s
constexpr std::size_t overlap = 8;  // windows begin so often in one
constexpr std::size_t fewest = 8;   // samples of a window

}  // namespace

std::optional<TurningOrder> turning_order(std::span<const double> acceleration,
                                          std::span<const double> speed,
                                          std::span<const double> angle, double step) {
    const auto width = static_cast<std::size_t>(std::lround(window / step));
    if (width < fewest || acceleration.size() < width) return std::nullopt;
    TurningOrder out;
    double explained = 0.0, all = 0.0;
    for (std::size_t from = 0; from + width <= acceleration.size(); from += width / overlap) {
        const double frequency = std::abs(speed[from + width / 2]) / (2.0 * std::numbers::pi);
        if (frequency < judder_low || frequency > judder_high) continue;
        std::complex<double> sum = 0.0;
        double weights = 0.0, squares = 0.0;
        for (std::size_t j = 0; j < width; ++j) {
            const double place = (static_cast<double>(j) + 0.5) / static_cast<double>(width);
            const double weight = 1.0 - std::cos(2.0 * std::numbers::pi * place);
            const double value = acceleration[from + j];
            sum += weight * value * std::polar(1.0, -angle[from + j]);
            weights += weight;
            squares += weight * value * value;
        }
        const double amplitude = 2.0 * std::abs(sum) / weights;
        explained += 0.5 * amplitude * amplitude;
        all += squares / weights;
        if (!(amplitude > out.largest)) continue;
        out.largest = amplitude;
        out.frequency = frequency;
    }
    if (!(all > 0.0)) return std::nullopt;
    out.share = explained / all;
    return out;
}

}  // namespace damper
