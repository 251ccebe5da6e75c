// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/torque_series.hpp"

#include "libdamper/solvers/exact/one_over.hpp"
#include "libdamper/solvers/exact/speed_torque_series.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace damper {

TorqueSeries::TorqueSeries(TorqueSource source, const Kernel& kernel)
    : source_(std::move(source)), next_order_(kernel.harmonics) {
    if (const auto* over_speed = std::get_if<SpeedTorque>(&source_)) {
        over_speed_ = std::make_unique<SpeedTorqueSeries>(*over_speed, kernel);
    }
    const CrankTorque* const crank = std::get_if<CrankTorque>(&source_);
    if (crank == nullptr) return;
    int divisor = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        divisor = std::gcd(divisor, static_cast<int>(std::lround(2.0 * h.order)));
        slope_room_ += h.order * std::hypot(h.cosine, h.sine);
    }
    base_half_orders_ = std::max(divisor, 1);
    int at = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        const int wanted = static_cast<int>(std::lround(2.0 * h.order)) / base_half_orders_;
        steps_.push_back(wanted - at);
        at = wanted;
        orders_.push_back(h.order);
    }
    orders_.resize((orders_.size() + 3) / 4 * 4, 0.0);
    a_.assign(most_orders * orders_.size(), 0.0);
    b_.assign(most_orders * orders_.size(), 0.0);
}

TorqueSeries::TorqueSeries(TorqueSeries&&) noexcept = default;
TorqueSeries::~TorqueSeries() = default;

void TorqueSeries::retune(const CrankTorque& torque) {
    source_ = torque;
    slope_room_ = 0.0;
    for (const CrankHarmonic& h : torque.harmonics) {
        slope_room_ += h.order * std::hypot(h.cosine, h.sine);
    }
}

bool TorqueSeries::stays() const {
    return over_speed_ == nullptr || over_speed_->stays();
}

double TorqueSeries::quickest(double speed) const {
    if (over_speed_ != nullptr) return over_speed_->highest_order() * std::abs(speed);
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
    phase_ = quickest(speed) * h;
    crank_ = std::get_if<CrankTorque>(&source_);
    if (over_speed_ != nullptr) {
        over_speed_->begin(t, h, angle, speed, negligible);
        end_ = over_speed_->end();
    } else if (crank_ != nullptr) {
        begin_crank(h, angle, speed);
    } else if (std::holds_alternative<ConstantTorque>(source_)) {
        begin_constant();
    } else if (std::holds_alternative<TorqueRamp>(source_)) {
        begin_ramp(t, h);
    } else if (std::holds_alternative<RecordedTorque>(source_)) {
        begin_recorded(t, h);
    } else {
        begin_sine(t, h);
    }
}

/// The piece of the recording that the step lies in; a step never crosses from one to the next.
void TorqueSeries::begin_recorded(double t, double h) {
    const auto& recorded = std::get<RecordedTorque>(source_);
    const double middle = (t + 0.5 * h - recorded.start) / recorded.step;
    const auto last = static_cast<double>(recorded.values.size() - 1);
    if (middle <= 0.0 || middle >= last) {
        out_[0] = middle <= 0.0 ? recorded.values.front() : recorded.values.back();
        end_ = 1;
        return;
    }
    const double piece = std::floor(middle);
    const std::array<double, 4> c = recorded.piece(static_cast<std::size_t>(piece));
    const double u = (t - recorded.start) / recorded.step - piece;
    const double scale = h / recorded.step;
    out_[0] = c[0] + u * (c[1] + u * (c[2] + u * c[3]));
    out_[1] = scale * (c[1] + u * (2.0 * c[2] + 3.0 * u * c[3]));
    out_[2] = scale * scale * (c[2] + 3.0 * u * c[3]);
    out_[3] = scale * scale * scale * c[3];
    end_ = 4;
}

void TorqueSeries::begin_constant() {
    out_[0] = std::get<ConstantTorque>(source_).torque;
    end_ = 1;
}

void TorqueSeries::begin_sine(double t, double h) {
    const auto& sine = std::get<SineTorque>(source_);
    const double phase = sine.frequency * t + sine.phase;
    double even = sine.amplitude * std::sin(phase);
    double odd = sine.amplitude * std::cos(phase);
    double factor = 1.0;
    end_ = 0;
    while (end_ < most_orders && !(std::abs(sine.amplitude * factor) <= negligible_)) {
        const std::size_t k = end_++;
        out_[k] = factor * (k % 2 == 0 ? even : odd);
        if (k % 2 == 1) {
            even = -even;
            odd = -odd;
        }
        factor *= sine.frequency * h / static_cast<double>(k + 1);
    }
    if (end_ == 0) out_[end_++] = 0.0;
    out_[0] += sine.mean;
}

/// Straight rise and dying exponential, each by its own series. A step never crosses a kink.
void TorqueSeries::begin_ramp(double t, double h) {
    const auto& ramp = std::get<TorqueRamp>(source_);
    const double change = ramp.to - ramp.from;
    const double middle = t + 0.5 * h - ramp.start;  // which piece the step lies in
    out_[0] = torque(source_, t, 0.0, 0.0);
    out_[1] = 0.0;
    end_ = 2;
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
    for (std::size_t k = 1; k < most_orders && std::abs(term) > negligible_; ++k) {
        term *= -h / (ramp.lag * static_cast<double>(k));
        out_[k] = k == 1 ? out_[k] + term : term;
        end_ = std::max(end_, k + 1);
    }
}

void TorqueSeries::begin_crank(double h, double angle, double speed) {
    turn_ = speed * h;
    highest_ = crank_->harmonics.empty() ? 0.0 : crank_->harmonics.back().order;
    phase_ = highest_ * std::abs(turn_);
    // All harmonics from one pair of trigonometric functions.
    const double base = 0.5 * base_half_orders_;
    const double c1 = std::cos(base * angle);
    const double s1 = std::sin(base * angle);
    double c = 1.0, s = 0.0;
    out_[0] = crank_->mean;
    slope_[0] = 0.0;
    for (std::size_t i = 0; i < steps_.size(); ++i) {
        for (int step = 0; step < steps_[i]; ++step) {
            const double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
        const CrankHarmonic& harmonic = crank_->harmonics[i];
        a_[i] = harmonic.cosine * c + harmonic.sine * s;
        b_[i] = harmonic.sine * c - harmonic.cosine * s;
        out_[0] += a_[i];
        slope_[0] += harmonic.order * b_[i];
    }
    last_ = 1;
    quiet_ = 0;
    end_ = most_orders;  // known when the terms have become small
}

void TorqueSeries::add_order_over_speed(std::size_t k, double theta, double omega) {
    out_[k] = over_speed_->coefficient(k, theta, omega);
    end_ = over_speed_->end();
    phase_ = over_speed_->phase();
}

/// Order k of the angle's deviation is known: takes the harmonics one order further.
void TorqueSeries::add_order(std::size_t k, double theta) {
    const auto order = static_cast<double>(k);
    angle_[k] = k == 1 ? turn_ : order * theta;
    if (k > 1) phase_ += highest_ * std::abs(theta);
    if (std::abs(angle_[k]) * slope_room_ > negligible_) last_ = k;
    std::array<double, 3> sums{};
    next_order_(orders_.data(), static_cast<int>(orders_.size()), static_cast<int>(k),
                angle_.data(), static_cast<int>(last_), a_.data(), b_.data(), sums.data());
    out_[k] = sums[0];
    slope_[k] = sums[1];
    quiet_ = sums[2] <= order * negligible_ ? quiet_ + 1 : 0;
    if (quiet_ >= 2 && order > phase_ && k > last_ + 1) end_ = k + 1;
}

}  // namespace damper
