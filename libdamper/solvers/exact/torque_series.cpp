// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/torque_series.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace damper {

TorqueSeries::TorqueSeries(TorqueSource source) : source_(std::move(source)) {
    const CrankTorque* const crank = std::get_if<CrankTorque>(&source_);
    if (crank == nullptr) return;
    int divisor = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        divisor = std::gcd(divisor, static_cast<int>(std::lround(2.0 * h.order)));
    }
    base_half_orders_ = std::max(divisor, 1);

    int at = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        const int wanted = static_cast<int>(std::lround(2.0 * h.order)) / base_half_orders_;
        steps_.push_back(wanted - at);
        at = wanted;
    }
}

double TorqueSeries::quickest(double speed) const {
    if (const auto* crank = std::get_if<CrankTorque>(&source_)) {
        return crank->harmonics.empty() ? 0.0 : crank->harmonics.back().order * std::abs(speed);
    }
    if (const auto* sine = std::get_if<SineTorque>(&source_)) return std::abs(sine->frequency);
    if (const auto* ramp = std::get_if<TorqueRamp>(&source_)) {
        return ramp->lag > 0.0 ? 1.0 / ramp->lag : 0.0;
    }
    return 0.0;
}

void TorqueSeries::begin(double t, double h, double angle, double speed, double negligible) {
    count_ = 0;
    negligible_ = negligible;
    if (std::holds_alternative<CrankTorque>(source_)) {
        begin_crank(h, angle, speed);
    } else if (const auto* constant = std::get_if<ConstantTorque>(&source_)) {
        out_.fill(0.0);
        out_[0] = constant->torque;
    } else if (std::holds_alternative<TorqueRamp>(source_)) {
        begin_ramp(t, h);
    } else {
        begin_sine(t, h);
    }
}

void TorqueSeries::begin_sine(double t, double h) {
    const auto& sine = std::get<SineTorque>(source_);
    const double phase = sine.frequency * t + sine.phase;
    double even = sine.amplitude * std::sin(phase);
    double odd = sine.amplitude * std::cos(phase);
    double factor = 1.0;
    for (std::size_t k = 0; k < most_orders; ++k) {
        out_[k] = factor * (k % 2 == 0 ? even : odd);
        if (k % 2 == 1) {
            even = -even;
            odd = -odd;
        }
        factor *= sine.frequency * h / static_cast<double>(k + 1);
    }
    out_[0] += sine.mean;
}

/// Straight rise and dying exponential, each by its own series. A step never crosses a kink.
void TorqueSeries::begin_ramp(double t, double h) {
    const auto& ramp = std::get<TorqueRamp>(source_);
    const double change = ramp.to - ramp.from;
    const double middle = t + 0.5 * h - ramp.start;  // which piece the step lies in
    out_.fill(0.0);
    out_[0] = torque(source_, t, 0.0);
    if (middle <= 0.0) {
        out_[0] = ramp.from;
        return;
    }
    const double since = std::max(t - ramp.start, 0.0);
    double exponential = 0.0;  // coefficient of exp(−(time)/lag) at the start of the step
    if (middle < ramp.rise) {
        out_[1] = change * h / ramp.rise;
        if (ramp.lag > 0.0)
            exponential = change * ramp.lag / ramp.rise * std::exp(-since / ramp.lag);
    } else if (ramp.lag > 0.0) {
        const double left =
            ramp.rise > 0.0 ? ramp.lag / ramp.rise * -std::expm1(-ramp.rise / ramp.lag) : 1.0;
        exponential = -change * left * std::exp(-std::max(since - ramp.rise, 0.0) / ramp.lag);
    }
    double term = exponential;
    for (std::size_t k = 1; k < most_orders; ++k) {
        term *= ramp.lag > 0.0 ? -h / (ramp.lag * static_cast<double>(k)) : 0.0;
        out_[k] += term;
    }
}

void TorqueSeries::begin_crank(double h, double angle, double speed) {
    const auto& crank = std::get<CrankTorque>(source_);
    // As many terms as the quickest harmonic needs; the fourth row below takes three more.
    const double phase = quickest(speed) * h;
    double term = 1.0;
    std::size_t n = 1;
    while (n + 4 < derivatives && term > 1e-17) term *= phase / static_cast<double>(n++);
    const std::size_t count = n + 3;
    std::array<double, derivatives + 1> derivative{};  // of T over crank angle
    derivative[0] = crank.mean;
    const double base = 0.5 * base_half_orders_;
    const double c1 = std::cos(base * angle);
    const double s1 = std::sin(base * angle);
    double c = 1.0, s = 0.0;
    for (std::size_t i = 0; i < crank.harmonics.size(); ++i) {
        for (int step = 0; step < steps_[i]; ++step) {
            const double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
        const CrankHarmonic& harmonic = crank.harmonics[i];
        const double minus_square = -harmonic.order * harmonic.order;
        double even = harmonic.cosine * c + harmonic.sine * s;
        double odd = harmonic.order * (harmonic.sine * c - harmonic.cosine * s);
        for (std::size_t d = 0; d < count; d += 2) {
            derivative[d] += even;
            derivative[d + 1] += odd;
            even *= minus_square;
            odd *= minus_square;
        }
    }
    double factor = 1.0;
    for (std::size_t k = 0; k < n; ++k) {
        along_[0][k] = derivative[k] * factor;
        along_[1][k] = derivative[k + 1] * factor;
        along_[2][k] = 0.5 * derivative[k + 2] * factor;
        along_[3][k] = derivative[k + 3] * factor / 6.0;
        factor *= speed * h / static_cast<double>(k + 1);
    }
    for (std::size_t row = 0; row < along_.size(); ++row) used_[row] = n;
    shorten(0, 1.0);
    eps_last_ = 0;
}

/// Drops the last terms of a row that, times `factor`, no longer count.
void TorqueSeries::shorten(std::size_t row, double factor) {
    while (used_[row] > 0 && std::abs(along_[row][used_[row] - 1]) * factor <= negligible_) {
        --used_[row];
    }
}

double TorqueSeries::coefficient(std::size_t k, std::span<const double> theta) {
    count_ = k + 1;
    if (std::holds_alternative<CrankTorque>(source_)) out_[k] = crank_coefficient(k, theta);
    return out_[k];
}

double TorqueSeries::crank_coefficient(std::size_t k, std::span<const double> theta) {
    double sum = k < used_[0] ? along_[0][k] : 0.0;
    if (k < 2) return sum;
    eps_[k] = theta[k];
    if (k == 2) {
        const double e = std::abs(eps_[2]);
        shorten(1, e);
        shorten(2, e * e);
        shorten(3, e * e * e);
    }
    if (used_[1] > 0 && std::abs(eps_[k] * along_[1][0]) > negligible_) eps_last_ = k;
    add_powers(1, eps_, k, eps_last_, sum);
    if (used_[2] == 0) return sum;
    eps2_[k] = 0.0;
    const std::size_t low = k > eps_last_ + 2 ? k - eps_last_ : 2;
    for (std::size_t i = low; i + 2 <= k && i <= eps_last_; ++i) {
        eps2_[k] += eps_[i] * eps_[k - i];
    }
    add_powers(2, eps2_, k, k, sum);
    if (used_[3] == 0) return sum;
    eps3_[k] = 0.0;
    for (std::size_t i = 2; i + 4 <= k && i <= eps_last_; ++i) {
        eps3_[k] += eps_[i] * eps2_[k - i];
    }
    add_powers(3, eps3_, k, k, sum);
    return sum;
}

/// Σ along[row][k − i]·power[i], as far as the row counts and the power goes.
void TorqueSeries::add_powers(std::size_t row, const std::array<double, most_orders>& power,
                              std::size_t k, std::size_t last, double& sum) const {
    const std::size_t first = k + 1 > used_[row] ? k + 1 - used_[row] : 0;
    for (std::size_t i = std::max<std::size_t>(first, 2); i <= std::min(k, last); ++i) {
        sum += along_[row][k - i] * power[i];
    }
}

}  // namespace damper
