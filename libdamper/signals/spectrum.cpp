// SPDX-License-Identifier: MIT
#include "libdamper/signals/spectrum.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <utility>

namespace damper {
namespace {

/// Samples that fill as many whole engine cycles as there are, to the nearest sample.
std::size_t whole_cycle_samples(std::size_t count, double step, double speed) {
    if (!(step > 0.0) || !(speed > 0.0)) return 0;
    const double cycle = 4.0 * std::numbers::pi / speed;
    // The last sample stands for the interval after it; a hair of rounding must not cost a cycle.
    const double cycles = std::floor(static_cast<double>(count) * step / cycle + 1e-9);
    if (cycles < 1.0) return 0;
    return std::min(count, static_cast<std::size_t>(std::llround(cycles * cycle / step)));
}

}  // namespace

double order_amplitude(std::span<const double> values, double step, double speed, double order) {
    const std::size_t count = whole_cycle_samples(values.size(), step, speed);
    const double turn = order * speed * step;  // phase from sample to sample [rad]
    // At and above half the sampling frequency an order cannot be told from its mirror image.
    if (count < 4 || !(turn > 0.0) || turn >= std::numbers::pi) return 0.0;

    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    const double cos_turn = std::cos(turn);
    const double sin_turn = std::sin(turn);
    double c = 1.0;
    double s = 0.0;
    constexpr std::size_t refresh = 256;  // the rotation is restarted before rounding adds up
    for (std::size_t i = 0; i < count; ++i) {
        if (i % refresh == 0) {
            c = std::cos(turn * static_cast<double>(i));
            s = std::sin(turn * static_cast<double>(i));
        }
        const Eigen::Vector3d basis(1.0, c, s);
        normal.noalias() += basis * basis.transpose();
        right.noalias() += values[i] * basis;
        const double next = c * cos_turn - s * sin_turn;
        s = s * cos_turn + c * sin_turn;
        c = next;
    }
    const Eigen::Vector3d solution = normal.ldlt().solve(right);
    return std::hypot(solution(1), solution(2));
}

OrderSpectrum order_spectrum(std::string signal, std::string units, std::span<const double> values,
                             double step, double speed, double highest) {
    OrderSpectrum spectrum;
    spectrum.signal = std::move(signal);
    spectrum.units = std::move(units);
    if (whole_cycle_samples(values.size(), step, speed) == 0) return spectrum;
    for (int half = 1; 0.5 * half <= highest + 1e-9; ++half) {
        spectrum.order.push_back(0.5 * half);
        spectrum.amplitude.push_back(order_amplitude(values, step, speed, 0.5 * half));
    }
    return spectrum;
}

}  // namespace damper
