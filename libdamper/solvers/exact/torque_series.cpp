// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/torque_series.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace damper {

TorqueSeries::TorqueSeries(const TorqueSource& source) : source_(source) {
    crank_ = std::get_if<CrankTorque>(&source_);
    if (crank_ == nullptr) return;
    int divisor = 0;
    for (const CrankHarmonic& h : crank_->harmonics) {
        divisor = std::gcd(divisor, static_cast<int>(std::lround(2.0 * h.order)));
    }
    base_half_orders_ = std::max(divisor, 1);
    int at = 0;
    for (const CrankHarmonic& h : crank_->harmonics) {
        const int wanted = static_cast<int>(std::lround(2.0 * h.order)) / base_half_orders_;
        steps_.push_back(wanted - at);
        at = wanted;
    }
}

double TorqueSeries::quickest(double speed) const {
    if (crank_ != nullptr && !crank_->harmonics.empty()) {
        return crank_->harmonics.back().order * std::abs(speed);
    }
    if (const auto* sine = std::get_if<SineTorque>(&source_)) return std::abs(sine->frequency);
    if (const auto* ramp = std::get_if<TorqueRamp>(&source_)) {
        return ramp->lag > 0.0 ? 1.0 / ramp->lag : 0.0;
    }
    return 0.0;
}

void TorqueSeries::begin(double t, double h, double angle, double speed) {
    count_ = 0;
    out_.fill(0.0);
    if (crank_ != nullptr) {
        begin_crank(h, angle, speed);
    } else if (const auto* constant = std::get_if<ConstantTorque>(&source_)) {
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
    for (auto& series : along_) series.fill(0.0);
    eps_.fill(0.0);
    eps2_.fill(0.0);
    eps3_.fill(0.0);
    const double base = 0.5 * base_half_orders_;
    const double c1 = std::cos(base * angle);
    const double s1 = std::sin(base * angle);
    double c = 1.0, s = 0.0;
    std::array<double, derivatives + 3> derivative{};  // of T over crank angle
    derivative[0] = crank_->mean;
    for (std::size_t i = 0; i < crank_->harmonics.size(); ++i) {
        for (int step = 0; step < steps_[i]; ++step) {
            const double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
        const CrankHarmonic& harmonic = crank_->harmonics[i];
        const double n = harmonic.order;
        double even = harmonic.cosine * c + harmonic.sine * s;
        double odd = n * (harmonic.sine * c - harmonic.cosine * s);
        for (std::size_t d = 0; d + 1 < derivative.size(); d += 2) {
            derivative[d] += even;
            derivative[d + 1] += odd;
            even *= -n * n;
            odd *= -n * n;
        }
    }
    double factor = 1.0;
    for (std::size_t k = 0; k < derivatives; ++k) {
        along_[0][k] = derivative[k] * factor;
        along_[1][k] = derivative[k + 1] * factor;
        along_[2][k] = 0.5 * derivative[k + 2] * factor;
        along_[3][k] = k + 3 < derivative.size() ? derivative[k + 3] * factor / 6.0 : 0.0;
        factor *= speed * h / static_cast<double>(k + 1);
    }
}

double TorqueSeries::coefficient(std::size_t k, std::span<const double> theta) {
    count_ = k + 1;
    if (crank_ != nullptr) out_[k] = crank_coefficient(k, theta);
    return out_[k];
}

double TorqueSeries::crank_coefficient(std::size_t k, std::span<const double> theta) {
    if (k >= 2) {
        eps_[k] = theta[k];
        for (std::size_t i = 2; i + 2 <= k; ++i) eps2_[k] += eps_[i] * eps_[k - i];
        for (std::size_t i = 2; i + 4 <= k; ++i) eps3_[k] += eps_[i] * eps2_[k - i];
    }
    double sum = k < derivatives ? along_[0][k] : 0.0;
    for (std::size_t i = 2; i <= k; ++i) {
        if (k - i >= derivatives) continue;
        sum +=
            along_[1][k - i] * eps_[i] + along_[2][k - i] * eps2_[i] + along_[3][k - i] * eps3_[i];
    }
    return sum;
}

}  // namespace damper
