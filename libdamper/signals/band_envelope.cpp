// SPDX-License-Identifier: MIT
#include "libdamper/signals/band_envelope.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <complex>
#include <cstddef>
#include <fmt/format.h>
#include <numbers>
#include <unsupported/Eigen/FFT>

namespace damper {

namespace {

constexpr double flank_share = 0.1;    // of the bandwidth, each
constexpr double flank_periods = 3.0;  // of the flank's width, after which the filter is still
constexpr std::size_t longest_block = std::size_t{1} << 18U;
constexpr std::size_t blocks_over_tails = 16;

/// Of a frequency: 1 inside the band, half at its ends, cosine flanks about them.
double mask(double frequency, double low, double high, double flank) {
    const auto rise = [&](double above) {
        const double u = std::clamp(above / flank + 0.5, 0.0, 1.0);
        return 0.5 - 0.5 * std::cos(std::numbers::pi * u);
    };
    return rise(frequency - low) * rise(high - frequency);
}

}  // namespace

Envelope band_envelope(std::span<const double> values, double step, double low, double high) {
    if (!(step > 0.0) || !(low >= 0.0) || !(high > low) || !(high <= 0.5 / step * (1.0 + 1e-9))) {
        throw ModelError(
            fmt::format("a band from {:.6g} Hz to {:.6g} Hz does not fit values every {:.4g} s",
                        low, high, step));
    }
    Envelope out;
    out.bandwidth = high - low;
    const double flank = flank_share * out.bandwidth;
    out.lost = flank_periods / flank;
    if (values.empty()) {
        out.step = step;
        return out;
    }
    const auto tail = static_cast<std::size_t>(std::ceil(out.lost / step));
    const std::size_t whole = std::bit_ceil(values.size() + 2 * tail);
    const std::size_t block =
        std::min(whole, std::max(longest_block, std::bit_ceil(blocks_over_tails * tail)));
    const double line = 1.0 / (static_cast<double>(block) * step);
    const auto from = static_cast<std::size_t>(std::max(0.0, std::floor((low - flank) / line)));
    const auto to = std::min(block / 2, static_cast<std::size_t>(std::ceil((high + flank) / line)));
    const std::size_t few = std::min(block, std::bit_ceil(2 * (to - from + 1)));
    const std::size_t every = block / few;
    const std::size_t margin = (tail + every - 1) / every;
    out.step = static_cast<double>(every) * step;
    const std::size_t wanted = (values.size() + every - 1) / every;
    out.value.reserve(wanted);

    Eigen::FFT<double> transform;
    std::vector<std::complex<double>> in(block), lines, band(few), back;
    for (std::size_t done = 0; done < wanted; done += few - 2 * margin) {
        for (std::size_t i = 0; i < block; ++i) {
            const std::size_t at = done * every + i;  // tails of the block lie before and behind
            const std::size_t shift = margin * every;
            const bool inside = at >= shift && at - shift < values.size();
            in[i] = inside ? values[at - shift] : 0.0;
        }
        transform.fwd(lines, in);
        std::fill(band.begin(), band.end(), 0.0);
        const double scale = 2.0 * static_cast<double>(few) / static_cast<double>(block);
        for (std::size_t k = from; k <= to; ++k) {
            const double share = mask(static_cast<double>(k) * line, low, high, flank);
            // Zero and half the sampling frequency have no partner on the negative side.
            const bool single = k == 0 || k == block / 2;
            band[k - from] = lines[k] * (share * scale * (single ? 0.5 : 1.0));
        }
        transform.inv(back, band);
        for (std::size_t i = margin; i + margin < few && out.value.size() < wanted; ++i) {
            out.value.push_back(std::abs(back[i]));
        }
    }
    return out;
}

}  // namespace damper
