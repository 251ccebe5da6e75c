// SPDX-License-Identifier: MIT
#include "libdamper/signals/damped_sine.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

namespace damper {
namespace {

using std::numbers::pi;

/// Level, slope, cosine and sine parts, decay [1/s], circular frequency [rad/s].
using Parameters = Eigen::Matrix<double, 6, 1>;

/// Every so-many-th value is enough: a sine is fixed by far fewer than 24 samples a period.
struct Samples {
    std::span<const double> values;
    std::size_t stride = 1;
    double step = 0.0;  ///< [s], between the values that are used
    [[nodiscard]] std::size_t count() const { return (values.size() + stride - 1) / stride; }
    [[nodiscard]] double value(std::size_t i) const { return values[i * stride]; }
    [[nodiscard]] double time(std::size_t i) const { return static_cast<double>(i) * step; }
};

/// Best level, slope, cosine and sine for a given decay and frequency; returns the sum of squares.
/// The wave is turned on from value to value: what rounding adds over thousands of them is far
/// below what the search that calls this can tell apart.
double solve_linear(const Samples& samples, Parameters& p) {
    const double fade = std::exp(-p(4) * samples.step);
    const double turn_c = fade * std::cos(p(5) * samples.step);
    const double turn_s = fade * std::sin(p(5) * samples.step);
    double c = 1.0, s = 0.0;
    double st = 0.0, sc = 0.0, ss = 0.0, stt = 0.0, stc = 0.0, sts = 0.0, scc = 0.0, scs = 0.0,
           sss = 0.0;
    double v = 0.0, vt = 0.0, vc = 0.0, vs = 0.0, squares = 0.0;
    const std::size_t count = samples.count();
    for (std::size_t i = 0; i < count; ++i) {
        const double t = samples.time(i);
        const double value = samples.value(i);
        st += t, sc += c, ss += s;
        stt += t * t, stc += t * c, sts += t * s;
        scc += c * c, scs += c * s, sss += s * s;
        v += value, vt += value * t, vc += value * c, vs += value * s;
        squares += value * value;
        const double next = c * turn_c - s * turn_s;
        s = s * turn_c + c * turn_s;
        c = next;
    }
    Eigen::Matrix4d normal;
    normal << static_cast<double>(count), st, sc, ss,  //
        st, stt, stc, sts,                             //
        sc, stc, scc, scs,                             //
        ss, sts, scs, sss;
    const Eigen::Vector4d right(v, vt, vc, vs);
    p.head<4>() = normal.ldlt().solve(right);
    return squares - p.head<4>().dot(right);
}

double squares_about_line(const Samples& samples) {
    Eigen::Matrix2d normal = Eigen::Matrix2d::Zero();
    Eigen::Vector2d right = Eigen::Vector2d::Zero();
    for (std::size_t i = 0; i < samples.count(); ++i) {
        const Eigen::Vector2d basis(1.0, samples.time(i));
        normal += basis * basis.transpose();
        right += samples.value(i) * basis;
    }
    const Eigen::Vector2d line = normal.ldlt().solve(right);
    double squares = 0.0;
    for (std::size_t i = 0; i < samples.count(); ++i) {
        const double rest = samples.value(i) - line(0) - line(1) * samples.time(i);
        squares += rest * rest;
    }
    return squares;
}

Parameters search(const Samples& samples, double lowest, double highest) {
    Parameters best = Parameters::Zero();
    double least = std::numeric_limits<double>::infinity();
    // A geometric ladder; NOLINTNEXTLINE(clang-analyzer-security.FloatLoopCounter)
    for (double f = lowest; f <= highest; f *= 1.06) {
        for (const double zeta : {0.02, 0.1, 0.25, 0.45}) {
            Parameters trial = Parameters::Zero();
            trial(5) = 2.0 * pi * f;
            trial(4) = zeta * trial(5);
            const double squares = solve_linear(samples, trial);
            if (squares < least) {
                least = squares;
                best = trial;
            }
        }
    }
    return best;
}

double squares_at(const Samples& samples, const Parameters& p) {
    double squares = 0.0;
    for (std::size_t i = 0; i < samples.count(); ++i) {
        const double t = samples.time(i);
        const double wave =
            std::exp(-p(4) * t) * (p(2) * std::cos(p(5) * t) + p(3) * std::sin(p(5) * t));
        const double rest = samples.value(i) - p(0) - p(1) * t - wave;
        squares += rest * rest;
    }
    return squares;
}

/// Levenberg's damped Gauss–Newton steps over all six parameters.
double refine(const Samples& samples, Parameters& p) {
    double squares = squares_at(samples, p);
    double hold = 1e-3;
    for (int round = 0; round < 60 && hold < 1e8; ++round) {
        Eigen::Matrix<double, 6, 6> normal = Eigen::Matrix<double, 6, 6>::Zero();
        Parameters right = Parameters::Zero();
        for (std::size_t i = 0; i < samples.count(); ++i) {
            const double t = samples.time(i);
            const double fade = std::exp(-p(4) * t);
            const double c = fade * std::cos(p(5) * t);
            const double s = fade * std::sin(p(5) * t);
            const double wave = p(2) * c + p(3) * s;
            Parameters slope;
            slope << 1.0, t, c, s, -t * wave, t * (p(3) * c - p(2) * s);
            normal += slope * slope.transpose();
            right += (samples.value(i) - p(0) - p(1) * t - wave) * slope;
        }
        Eigen::Matrix<double, 6, 6> held = normal;
        held.diagonal() *= 1.0 + hold;
        const Parameters next = p + held.ldlt().solve(right);
        const double now = squares_at(samples, next);
        if (now < squares) {
            const bool done = squares - now <= 1e-14 * squares;
            p = next;
            squares = now;
            hold = std::max(hold * 0.2, 1e-12);
            if (done) break;
        } else {
            hold *= 8.0;
        }
    }
    return squares;
}

}  // namespace

double DampedSine::damping_ratio() const {
    const double d = log_decrement();
    return d / std::sqrt(4.0 * pi * pi + d * d);
}

std::optional<DampedSine> fit_damped_sine(std::span<const double> values, double step,
                                          double lowest, double highest) {
    const double length = step * static_cast<double>(values.size());
    lowest = std::max(lowest, 1.5 / length);
    if (values.size() < 16 || !(lowest < highest)) return std::nullopt;
    Samples samples{values, 1, step};
    samples.stride =
        std::max<std::size_t>(1, static_cast<std::size_t>(1.0 / (24.0 * highest * step)));
    samples.step = step * static_cast<double>(samples.stride);

    const double about_line = squares_about_line(samples);
    if (!(about_line > 0.0)) return std::nullopt;
    Parameters p = search(samples, lowest, highest);
    const double squares = refine(samples, p);

    DampedSine sine;
    sine.frequency = p(5) / (2.0 * pi);
    if (!(sine.frequency > 0.8 * lowest && sine.frequency < 1.2 * highest)) return std::nullopt;
    sine.level = p(0);
    sine.slope = p(1);
    sine.amplitude = std::hypot(p(2), p(3));
    sine.phase = std::atan2(-p(3), p(2));
    sine.decay = p(4);
    sine.explained = 1.0 - squares / about_line;
    return sine;
}

}  // namespace damper
