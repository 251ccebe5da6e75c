// SPDX-License-Identifier: MIT
#include "libdamper/signals/modulation.hpp"

#include "libdamper/signals/batch_means.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <complex>
#include <numbers>
#include <unsupported/Eigen/FFT>
#include <utility>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double periods_a_block = 16.0;
constexpr std::size_t fewest_a_block = 32;  // values
constexpr int tries_a_line = 4;             // frequencies looked at in the width of a line
constexpr double values_a_period = 64.0;    // that are enough for its amplitude, to 4e-4
// Places beside a line, whole periods in a block: the line itself leaks nothing there.
constexpr std::array beside{0.8125, 0.875, 1.125, 1.1875};

struct Swing {
    double mean = 0.0;
    std::complex<double> amplitude;
};

/// Least squares of mean, slope, cosine and sine.
Swing swing_of(std::span<const double> values, double step, double frequency) {
    const auto count = static_cast<double>(values.size());
    const std::complex<double> on = std::polar(1.0, turn * frequency * step);
    std::complex<double> at = 1.0;
    Eigen::Matrix4d normal = Eigen::Matrix4d::Zero();
    Eigen::Vector4d right = Eigen::Vector4d::Zero();
    for (std::size_t i = 0; i < values.size(); ++i) {
        const Eigen::Vector4d basis(1.0, static_cast<double>(i) / count - 0.5, at.real(),
                                    at.imag());
        normal.noalias() += basis * basis.transpose();
        right.noalias() += values[i] * basis;
        at *= on;
    }
    const Eigen::Vector4d p = normal.ldlt().solve(right);
    return {p(0), {p(2), -p(3)}};
}

struct Blocks {
    std::size_t length = 0;
    std::size_t count = 0;
};

Blocks blocks_of(std::size_t values, double step, double frequency) {
    Blocks blocks;
    const double length = periods_a_block / (frequency * step);
    if (!(length >= static_cast<double>(fewest_a_block)) || length > static_cast<double>(values)) {
        return blocks;
    }
    blocks.length = static_cast<std::size_t>(length);
    blocks.count = values / blocks.length;
    return blocks;
}

/// Squares of amplitude over mean, block by block.
std::vector<double> squares_at(std::span<const double> envelope, double step, double frequency,
                               const Blocks& blocks) {
    std::vector<double> out;
    for (std::size_t b = 0; b < blocks.count; ++b) {
        const Swing swing =
            swing_of(envelope.subspan(b * blocks.length, blocks.length), step, frequency);
        out.push_back(swing.mean > 0.0 ? std::norm(swing.amplitude) / (swing.mean * swing.mean)
                                       : 0.0);
    }
    return out;
}

double mean_of(std::span<const double> values) {
    double sum = 0.0;
    for (const double value : values) sum += value;
    return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

/// Means of as many values as a period of `frequency` has too many; `step` becomes theirs.
std::vector<double> thinned(std::span<const double> values, double frequency, double& step) {
    const auto each = static_cast<std::size_t>(
        std::max(1.0, std::floor(1.0 / (values_a_period * frequency * step))));
    std::vector<double> out;
    for (std::size_t k = 0; k + each <= values.size(); k += each) {
        out.push_back(mean_of(values.subspan(k, each)));
    }
    step *= static_cast<double>(each);
    return out;
}

}  // namespace

Modulation modulation_at(std::span<const double> values, double step, double frequency,
                         double search) {
    Modulation out;
    out.frequency = frequency;
    if (!(frequency > 0.0) || !(step > 0.0)) return out;
    const std::vector<double> envelope = thinned(values, frequency, step);
    Blocks blocks = blocks_of(envelope.size(), step, frequency);
    if (blocks.count == 0) return out;
    const double line = 1.0 / (static_cast<double>(blocks.length) * step);
    std::vector<double> best;
    const auto look_around = [&](double middle, double apart, int tries) {
        for (int i = -tries; i <= tries; ++i) {
            const double at = std::clamp(middle + i * apart, frequency * (1.0 - search),
                                         frequency * (1.0 + search));
            std::vector<double> squares = squares_at(envelope, step, at, blocks);
            if (best.empty() || mean_of(squares) > mean_of(best)) {
                best = std::move(squares);
                out.frequency = at;
            }
        }
    };
    const int tries = static_cast<int>(std::ceil(search * frequency / line * tries_a_line));
    look_around(frequency, line / tries_a_line, tries);
    for (double apart = line / tries_a_line / 4.0; tries > 0 && apart > line / 300.0;
         apart /= 4.0) {
        look_around(out.frequency, apart, 3);
    }
    // Once more with whole periods of what was found in a block.
    if (const Blocks whole = blocks_of(envelope.size(), step, out.frequency); whole.count > 0) {
        blocks = whole;
        best = squares_at(envelope, step, out.frequency, blocks);
    }
    out.blocks = static_cast<int>(blocks.count);
    double chance = 0.0;
    for (const double share : beside) {
        chance += mean_of(squares_at(envelope, step, share * out.frequency, blocks));
    }
    chance /= static_cast<double>(beside.size());
    out.floor = std::sqrt(chance);
    out.depth = std::sqrt(std::max(0.0, mean_of(best) - chance));
    if (blocks.count < 2) {
        out.half_width = std::max(out.depth, out.floor);
        return out;
    }
    std::vector<double> depth;
    for (const double square : best) depth.push_back(std::sqrt(square));
    const double mean = mean_of(depth);
    double scatter = 0.0;
    for (const double one : depth) scatter += (one - mean) * (one - mean);
    const auto count = static_cast<double>(depth.size());
    out.half_width = student_t(0.95, count - 1.0) * std::sqrt(scatter / (count - 1.0) / count);
    return out;
}

EnvelopeSpectrum envelope_spectrum(std::span<const double> envelope, double step, double block,
                                   double highest) {
    EnvelopeSpectrum out;
    if (!(step > 0.0) || !(block > 0.0)) return out;
    const auto length = static_cast<std::size_t>(block / step);
    if (length < fewest_a_block || length > envelope.size()) return out;
    const std::size_t padded = std::bit_ceil(length);
    const double line = 1.0 / (static_cast<double>(padded) * step);
    const auto lines =
        std::min(padded / 2, static_cast<std::size_t>(std::max(0.0, highest / line)));
    std::vector<double> window(length);
    double window_sum = 0.0;
    for (std::size_t i = 0; i < length; ++i) {
        window[i] = 0.5 - 0.5 * std::cos(turn * (static_cast<double>(i) + 0.5) /
                                         static_cast<double>(length));
        window_sum += window[i];
    }
    std::vector<double> sum(lines + 1, 0.0);
    double count = 0.0;
    Eigen::FFT<double> transform;
    std::vector<std::complex<double>> in(padded), at;
    for (std::size_t begin = 0; begin + length <= envelope.size(); begin += length / 2) {
        const double mean = mean_of(envelope.subspan(begin, length));
        if (!(mean > 0.0)) continue;
        std::fill(in.begin(), in.end(), 0.0);
        for (std::size_t i = 0; i < length; ++i) {
            in[i] = window[i] * (envelope[begin + i] / mean - 1.0);
        }
        transform.fwd(at, in);
        for (std::size_t k = 0; k <= lines; ++k) sum[k] += std::norm(at[k]);
        count += 1.0;
    }
    if (!(count > 0.0)) return out;
    for (std::size_t k = 0; k <= lines; ++k) {
        out.frequency.push_back(static_cast<double>(k) * line);
        out.depth.push_back(2.0 / window_sum * std::sqrt(sum[k] / count));
    }
    return out;
}

PhaseLevels phase_levels(std::span<const double> envelope, double step, double frequency) {
    constexpr std::size_t phases = 24;
    constexpr std::size_t quarter = phases / 4;
    PhaseLevels out;
    const Blocks blocks = blocks_of(envelope.size(), step, frequency);
    if (blocks.count == 0) return out;
    std::array<double, phases> sum{}, count{};
    std::vector<double> block_levels;
    for (std::size_t b = 0; b < blocks.count; ++b) {
        const auto part = envelope.subspan(b * blocks.length, blocks.length);
        const double lead = std::arg(swing_of(part, step, frequency).amplitude) / turn;
        double squares = 0.0;
        for (std::size_t i = 0; i < part.size(); ++i) {
            const double cycles = frequency * step * static_cast<double>(i) + lead;
            const double phase = (cycles - std::floor(cycles)) * static_cast<double>(phases);
            const std::size_t at = std::min(phases - 1, static_cast<std::size_t>(phase));
            sum[at] += part[i] * part[i];
            count[at] += 1.0;
            squares += part[i] * part[i];
        }
        if (squares > 0.0) block_levels.push_back(10.0 * std::log10(squares));
    }
    std::array<double, phases> mean{};
    for (std::size_t i = 0; i < phases; ++i) mean[i] = count[i] > 0.0 ? sum[i] / count[i] : 0.0;
    std::sort(mean.begin(), mean.end());
    // An envelope's square is twice the mean square of what swings inside it.
    out.quiet = std::sqrt(0.5 * mean_of(std::span(mean).first(quarter)));
    out.loud = std::sqrt(0.5 * mean_of(std::span(mean).last(quarter)));
    if (block_levels.size() > 1) {
        const double middle = mean_of(block_levels);
        double scatter = 0.0;
        for (const double one : block_levels) scatter += (one - middle) * (one - middle);
        const auto n = static_cast<double>(block_levels.size());
        // A quarter of the phase has a quarter of the values: twice the scatter.
        out.half_width_db = 2.0 * student_t(0.95, n - 1.0) * std::sqrt(scatter / (n - 1.0) / n);
    }
    return out;
}

}  // namespace damper
