// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/torque_series.hpp"

#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace damper {

TorqueSeries::TorqueSeries(TorqueSource source, const Kernel& kernel)
    : source_(std::move(source)), sum_derivatives_(kernel.derivatives) {
    const CrankTorque* const crank = std::get_if<CrankTorque>(&source_);
    if (crank == nullptr) return;
    int divisor = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        divisor = std::gcd(divisor, static_cast<int>(std::lround(2.0 * h.order)));
        slope_room_ += h.order * std::hypot(h.cosine, h.sine);
        fifth_room_ += std::pow(h.order, 5) * std::hypot(h.cosine, h.sine);
        highest_ = h.order;
    }
    base_half_orders_ = std::max(divisor, 1);

    int at = 0;
    for (const CrankHarmonic& h : crank->harmonics) {
        const int wanted = static_cast<int>(std::lround(2.0 * h.order)) / base_half_orders_;
        steps_.push_back(wanted - at);
        at = wanted;
        minus_square_.push_back(-h.order * h.order);
    }
    minus_square_.resize((crank->harmonics.size() + 3) / 4 * 4, 0.0);
    even_.resize(minus_square_.size(), 0.0);
    odd_.resize(minus_square_.size(), 0.0);
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
    crank_ = std::get_if<CrankTorque>(&source_);
    if (crank_ != nullptr) {
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
    out_[0] = torque(source_, t, 0.0);
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

/// Each harmonic at this angle, and the same a quarter of its period on times its order.
void TorqueSeries::turn_harmonics(double angle) {
    const double base = 0.5 * base_half_orders_;
    const double c1 = std::cos(base * angle);
    const double s1 = std::sin(base * angle);
    double c = 1.0, s = 0.0;
    for (std::size_t i = 0; i < steps_.size(); ++i) {
        for (int step = 0; step < steps_[i]; ++step) {
            const double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
        const CrankHarmonic& harmonic = crank_->harmonics[i];
        even_[i] = harmonic.cosine * c + harmonic.sine * s;
        odd_[i] = harmonic.order * (harmonic.sine * c - harmonic.cosine * s);
    }
}

void TorqueSeries::begin_crank(double h, double angle, double speed) {
    // As many terms as the quickest harmonic needs; ε below takes up to four derivatives more.
    const double phase = quickest(speed) * h;
    const double turn = speed * h;
    std::size_t n = 1;
    power_[0] = 1.0;
    room_[0] = slope_room_;
    for (; n + 5 < derivatives && room_[n - 1] > negligible_; ++n) {
        power_[n] = power_[n - 1] * turn * one_over[n];
        room_[n] = room_[n - 1] * phase * one_over[n];
    }
    terms_ = n;
    turn_harmonics(angle);
    const int pairs = static_cast<int>(n + 5) / 2;
    sum_derivatives_(minus_square_.data(), even_.data(), odd_.data(),
                     static_cast<int>(even_.size()), pairs, derivative_.data());
    derivative_[0] += crank_->mean;
    for (std::size_t k = 0; k < n; ++k) out_[k] = derivative_[k] * power_[k];
    std::fill(out_.begin() + static_cast<std::ptrdiff_t>(n), out_.begin() + most_orders, 0.0);
    eps_last_ = 0;
    end_ = most_orders;  // known when ε is
}

std::span<const double> TorqueSeries::slope_along() {
    if (crank_ == nullptr) return {};
    for (std::size_t k = 0; k < terms_; ++k) slope_[k] = derivative_[k + 1] * power_[k];
    return {slope_.data(), terms_};
}

/// Adds factor·T^(row) along the present speed to the torque from order `from` on. `room` bounds
/// factor·T^(row) over factor·T'.
void TorqueSeries::add_along(std::size_t row, double factor, double room, std::size_t from) {
    const double limit = negligible_ / (std::abs(factor) * room);
    std::size_t n = terms_;
    while (n > 0 && room_[n - 1] <= limit) --n;
    const double* const x = derivative_.data() + row;
    double* const y = out_.data() + from;
    for (std::size_t i = 0; i < n; ++i) y[i] += factor * (x[i] * power_[i]);
    end_ = std::max(end_, from + n);
}

/// Order k of ε is known: adds what it makes of the torque, together with those before it.
void TorqueSeries::add_rest(std::size_t k, double theta) {
    if (k == 2) {
        end_ = terms_;
        largest_eps_ = 0.0;
    }
    eps_[k] = theta;
    const double size = std::abs(theta) * slope_room_;
    if (size > negligible_) {
        eps_last_ = k;
        add_along(1, theta, 1.0, k);
    } else if (k > eps_last_ + 4) {
        return;
    }
    end_ = std::max(end_, std::min(k + 4, most_orders));  // ε may still have something to come
    largest_eps_ = std::max(largest_eps_, std::abs(theta));
    if (size * highest_ * largest_eps_ <= negligible_) return;
    for (std::size_t i = 2; i <= std::min(k, eps_last_); ++i) {
        const double pair = (i == k ? 0.5 : 1.0) * eps_[i] * theta;
        const double pair_size = std::abs(pair) * slope_room_ * highest_;
        if (pair_size <= negligible_) continue;
        add_along(2, pair, highest_, i + k);
        if (pair_size * highest_ * largest_eps_ <= negligible_) continue;
        for (std::size_t j = 2; j <= i; ++j) {
            // How often the three orders can be told apart, over 3!.
            const double times = i == k ? (j == i ? 1.0 : 3.0) : (j == i ? 3.0 : 6.0);
            const double triple = times * (1.0 / 6.0) * eps_[i] * eps_[j] * theta;
            if (std::abs(triple) * slope_room_ * highest_ * highest_ <= negligible_) continue;
            add_along(3, triple, highest_ * highest_, i + j + k);
            add_fourfold(k, i, j, theta);
        }
    }
}

/// The products of four orders of ε of which these three are the highest.
void TorqueSeries::add_fourfold(std::size_t k, std::size_t i, std::size_t j, double theta) {
    const double cubed = highest_ * highest_ * highest_;
    const double three = eps_[i] * eps_[j] * theta;
    for (std::size_t l = 2; l <= j && i + j + k + l < most_orders; ++l) {
        // One over the factorial of how often each order occurs.
        double share = 1.0, run = 1.0;
        for (const bool same : {i == k, j == i, l == j}) {
            run = same ? run + 1.0 : 1.0;
            share /= run;
        }
        const double fourfold = share * three * eps_[l];
        if (std::abs(fourfold) * slope_room_ * cubed <= negligible_) continue;
        add_along(4, fourfold, cubed, i + j + k + l);
    }
}

bool TorqueSeries::has_more(std::size_t k) const {
    for (; k < std::min(end_, most_orders); ++k) {
        if (std::abs(out_[k]) > negligible_ * static_cast<double>(k + 1)) return true;
    }
    return false;
}

bool TorqueSeries::complete() const {
    if (crank_ == nullptr) return true;
    double swing = 0.0;
    for (std::size_t k = 2; k < count_; ++k) swing += std::abs(eps_[k]);
    // Five orders of ε come at order 10 at the earliest, and into the speed divided by 11.
    const double square = swing * swing;
    return !(fifth_room_ * square * square * swing > 120.0 * 11.0 * negligible_);
}

}  // namespace damper
