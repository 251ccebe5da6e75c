// SPDX-License-Identifier: MIT
#include "libdamper/recordings/cylinder_balance.hpp"

#include "libdamper/signals/batch_means.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace damper {

namespace {

using Complex = std::complex<double>;
constexpr double pi = std::numbers::pi;

/// Angular acceleration at an order, from its speed: j·order·mean speed·amplitude.
Complex acceleration(const OrderBlock& block, int half_orders) {
    const double frequency = 0.5 * half_orders * block.mean_speed;
    return Complex(0.0, frequency) * block.amplitude[static_cast<std::size_t>(half_orders - 1)];
}

/// Heat of each cylinder less the mean, over the mean, of one set of accelerations.
std::vector<double> shares(std::span<const Complex> at, int cylinders, const CylinderPulse& pulse,
                           double first) {
    const auto n = static_cast<std::size_t>(cylinders);
    const Complex whole = pulse.heat[n] + pulse.rest[n];
    // Of all cylinders together, per cylinder and of the pulse: torque over inertia.
    const double scale = std::abs(at[n]) / (cylinders * std::abs(whole));
    std::vector<double> out(n, 0.0);
    for (int m = 1; 2 * m <= cylinders; ++m) {
        const auto i = static_cast<std::size_t>(m);
        const Complex difference =
            at[i] * std::polar(1.0, 0.5 * m * first) / (scale * pulse.heat[i]);
        const double weight = (2 * m == cylinders ? 1.0 : 2.0) / cylinders;
        for (std::size_t k = 0; k < n; ++k) {
            const double turned = 2.0 * pi * m * static_cast<double>(k) / cylinders;
            out[k] += weight * (difference * std::polar(1.0, turned)).real();
        }
    }
    return out;
}

}  // namespace

CylinderPulse pulse_of(std::span<const double> with_heat, std::span<const double> without_heat,
                       int most) {
    CylinderPulse out;
    const auto harmonic = [](std::span<const double> values, int m) {
        const auto count = static_cast<double>(values.size());
        Complex sum = 0.0;
        for (std::size_t i = 0; i < values.size(); ++i) {
            sum += values[i] * std::polar(1.0, -2.0 * pi * m * static_cast<double>(i) / count);
        }
        return sum * ((m == 0 ? 1.0 : 2.0) / count);
    };
    for (int m = 0; m <= most; ++m) {
        const Complex rest = harmonic(without_heat, m);
        out.rest.push_back(rest);
        out.heat.push_back(harmonic(with_heat, m) - rest);
    }
    return out;
}

CylinderPulse typical_pulse(int most) {
    constexpr double exponent = 1.32, ratio = 14.0, crank_over_rod = 0.3, pressure_gain = 1.0;
    constexpr std::size_t points = 1440;
    std::vector<double> with, without;
    for (std::size_t i = 0; i < points; ++i) {
        const double angle = 4.0 * pi * static_cast<double>(i) / points;
        const double s = std::sin(angle), c = std::cos(angle);
        const double rod = std::sqrt(1.0 - crank_over_rod * crank_over_rod * s * s);
        const double travel = 0.5 * (1.0 - c + (1.0 - rod) / crank_over_rod);  // of the stroke
        const double lever = s * (1.0 + crank_over_rod * c / rod);
        const double volume = 1.0 + (ratio - 1.0) * travel;  // of the smallest
        const bool expanding = angle<pi, compressing = angle> 3.0 * pi;
        const double pressure =
            expanding || compressing ? std::pow(ratio / volume, exponent) - 1.0 : 0.0;
        without.push_back(pressure * lever);
        with.push_back((pressure + (expanding ? pressure_gain * (pressure + 1.0) : 0.0)) * lever);
    }
    return pulse_of(with, without, most);
}

CylinderBalance cylinder_balance(const OrderBlocks& blocks, int cylinders,
                                 const CylinderPulse& pulse) {
    CylinderBalance out;
    const auto n = static_cast<std::size_t>(cylinders);
    if (cylinders < 2 || cylinders > 16 || blocks.orders() < n || blocks.block.size() < 2 ||
        pulse.heat.size() <= n || pulse.rest.size() <= n) {
        return out;
    }
    std::vector<Complex> mean(n + 1, 0.0);
    for (const OrderBlock& block : blocks.block) {
        for (int m = 1; m <= cylinders; ++m) {
            mean[static_cast<std::size_t>(m)] +=
                acceleration(block, m) / static_cast<double>(blocks.block.size());
        }
    }
    if (!(std::abs(mean[n]) > 0.0)) return out;
    const double spacing = 4.0 * pi / cylinders;
    const double lag = std::arg(pulse.heat[n] + pulse.rest[n]) - std::arg(mean[n]);
    double first = std::fmod(lag / (0.5 * cylinders), spacing);
    if (first < 0.0) first += spacing;
    out.first_firing = first;
    out.share = shares(mean, cylinders, pulse, first);

    // The firing order is known well; what scatters is what lies below it.
    std::vector<double> squares(n, 0.0);
    for (const OrderBlock& block : blocks.block) {
        std::vector<Complex> one(n + 1, 0.0);
        for (int m = 1; m < cylinders; ++m)
            one[static_cast<std::size_t>(m)] = acceleration(block, m);
        one[n] = mean[n];
        const std::vector<double> share = shares(one, cylinders, pulse, first);
        for (std::size_t k = 0; k < n; ++k) {
            squares[k] += (share[k] - out.share[k]) * (share[k] - out.share[k]);
        }
    }
    const auto count = static_cast<double>(blocks.block.size());
    for (std::size_t k = 0; k < n; ++k) {
        out.half_width.push_back(student_t(0.95, count - 1.0) *
                                 std::sqrt(squares[k] / (count - 1.0) / count));
        out.known = out.known || std::abs(out.share[k]) > 2.0 * out.half_width[k];
    }
    return out;
}

}  // namespace damper
