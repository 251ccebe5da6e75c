// SPDX-License-Identifier: MIT
#include "libdamper/signals/batch_means.hpp"
#include "libdamper/signals/crank_angle.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

namespace damper {

namespace {

constexpr double unknown = std::numeric_limits<double>::infinity();

/// Half width of the 95 % interval of a mean.
double half_width(std::span<const double> values, double mean) {
    if (values.size() < 2) return unknown;
    const auto count = static_cast<double>(values.size());
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    return student_t(0.95, count - 1.0) * std::sqrt(squares / (count - 1.0) / count);
}

BlockFigure mean_of(const std::vector<double>& values) {
    BlockFigure out;
    for (const double value : values) out.value += value;
    if (!values.empty()) out.value /= static_cast<double>(values.size());
    out.half_width = half_width(values, out.value);
    return out;
}

}  // namespace

OrderBlocks aligned(OrderBlocks blocks, double firing) {
    const std::size_t at = order_index(firing);
    if (blocks.orders() <= at) return blocks;
    double before = std::arg(blocks.block.front().amplitude[at]);
    double drift = 0.0;  // of the angle, as the firing order sees it
    for (OrderBlock& block : blocks.block) {
        const double phase = std::arg(block.amplitude[at]);
        drift += std::remainder(phase - before, 2.0 * std::acos(-1.0));
        before = phase;
        for (std::size_t k = 0; k < block.amplitude.size(); ++k) {
            const double order = 0.5 * static_cast<double>(k + 1);
            block.amplitude[k] *= std::polar(1.0, -drift * order / firing);
        }
    }
    return blocks;
}

BlockFigure order_magnitude(const OrderBlocks& blocks, double order) {
    const std::size_t at = order_index(order);
    std::vector<double> values;
    if (at < blocks.orders()) {
        for (const OrderBlock& block : blocks.block)
            values.push_back(std::abs(block.amplitude[at]));
    }
    return mean_of(values);
}

BlockFigure steady_magnitude(const OrderBlocks& blocks, double order) {
    const std::size_t at = order_index(order);
    if (at >= blocks.orders()) return {0.0, unknown};
    std::complex<double> sum = 0.0;
    for (const OrderBlock& block : blocks.block) sum += block.amplitude[at];
    const double phase = std::arg(sum);
    std::vector<double> along;
    for (const OrderBlock& block : blocks.block) {
        along.push_back((block.amplitude[at] * std::polar(1.0, -phase)).real());
    }
    return mean_of(along);
}

OrderTransfer order_transfer(const OrderBlocks& input, const OrderBlocks& output, double order) {
    OrderTransfer out{.order = order, .half_width = unknown};
    const std::size_t at = order_index(order);
    if (at >= input.orders() || at >= output.orders()) return out;
    const std::size_t count = std::min(input.block.size(), output.block.size());
    std::complex<double> cross = 0.0;
    double from = 0.0, to = 0.0;
    for (std::size_t b = 0; b < count; ++b) {
        const std::complex<double> x = input.block[b].amplitude[at];
        const std::complex<double> y = output.block[b].amplitude[at];
        cross += y * std::conj(x);
        from += std::norm(x);
        to += std::norm(y);
    }
    if (!(from > 0.0) || !(to > 0.0)) return out;
    out.ratio = std::abs(cross) / from;
    out.lag = -std::arg(cross);
    out.coherence = std::min(1.0, std::norm(cross) / (from * to));
    if (count < 2) return out;
    const auto n = static_cast<double>(count);
    out.half_width = student_t(0.95, n - 1.0) * out.ratio *
                     std::sqrt((1.0 - out.coherence) / (2.0 * out.coherence * (n - 1.0)));
    return out;
}

}  // namespace damper
