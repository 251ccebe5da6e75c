// SPDX-License-Identifier: MIT
#include "libdamper/signals/spectrum.hpp"

#include "libdamper/signals/order_fit.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <utility>

namespace damper {
namespace {

/// How many of the first samples fill whole engine cycles; 0 if not even one.
std::size_t whole_cycle_samples(std::span<const double> angle, double& mean_step) {
    WholeCycles cycles;
    std::size_t whole = 0;
    for (std::size_t i = 0; i < angle.size(); ++i) {
        if (cycles.completes(angle[i])) whole = i;
    }
    mean_step = cycles.mean_step();
    return cycles.complete_at_end() ? angle.size() : whole;
}

}  // namespace

double order_amplitude(std::span<const double> values, std::span<const double> angle,
                       double order) {
    double mean_step = 0.0;
    const std::size_t count = std::min(values.size(), whole_cycle_samples(angle, mean_step));
    const int half_orders = static_cast<int>(std::lround(2.0 * order));
    OrderBasis basis;
    OrderSums sums;
    for (std::size_t i = 0; i < count; ++i) {
        const std::complex<double> at =
            turned({std::cos(0.5 * angle[i]), std::sin(0.5 * angle[i])}, half_orders);
        basis.add(at);
        sums.add(values[i], at);
    }
    return amplitude(basis, sums, order * mean_step);
}

OrderSpectrum order_spectrum(std::string signal, std::string units, std::span<const double> values,
                             std::span<const double> angle, double highest) {
    OrderSpectrum spectrum;
    spectrum.signal = std::move(signal);
    spectrum.units = std::move(units);
    double mean_step = 0.0;
    const std::size_t count = std::min(values.size(), whole_cycle_samples(angle, mean_step));
    if (count == 0) return spectrum;
    const auto lines = static_cast<std::size_t>(std::floor(2.0 * highest + 1e-9));
    std::vector<OrderBasis> basis(lines);
    std::vector<OrderSums> sums(lines);
    for (std::size_t i = 0; i < count; ++i) {
        const std::complex<double> half(std::cos(0.5 * angle[i]), std::sin(0.5 * angle[i]));
        double c = 1.0;  // as in turned(), line by line
        double s = 0.0;
        for (std::size_t k = 0; k < lines; ++k) {
            const double next = c * half.real() - s * half.imag();
            s = s * half.real() + c * half.imag();
            c = next;
            basis[k].add({c, s});
            sums[k].add(values[i], {c, s});
        }
    }
    for (std::size_t k = 0; k < lines; ++k) {
        const double order = 0.5 * static_cast<double>(k + 1);
        spectrum.order.push_back(order);
        spectrum.amplitude.push_back(amplitude(basis[k], sums[k], order * mean_step));
    }
    return spectrum;
}

}  // namespace damper
