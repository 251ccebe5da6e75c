// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/smooth_series.hpp"

#include "libdamper/solvers/exact/one_over.hpp"

#include <cmath>
#include <utility>

namespace damper {

namespace {

constexpr double enough = 20.0;  // tanh differs from 1 by 2·exp(−40) < 1e-17

/// Σ |c_k| over k ≥ 1: how far the series can go from its start.
double swing(std::span<const double> c) {
    double sum = 0.0;
    for (std::size_t k = 1; k < c.size(); ++k) sum += std::abs(c[k]);
    return sum;
}

}  // namespace

SmoothSeries::SmoothSeries(SmoothLaw law) : law_(std::move(law)) {}

double SmoothSeries::coefficient(std::size_t k, double rate, double reference) {
    rate_[k] = rate;
    reference_[k] = reference;
    count_ = k + 1;
    out_[k] = std::holds_alternative<RoadLoad>(law_) ? road_load(k) : tyre_slip(k);
    return out_[k];
}

/// Order k of tanh x.
double SmoothSeries::tanh_of(std::size_t k) {
    if (k == 0) {
        saturated_ = std::abs(x_[0]) > 2.0 * enough;
        y_[0] = std::tanh(x_[0]);
        u_[0] = 1.0 - y_[0] * y_[0];
        return y_[0];
    }
    if (saturated_) return y_[k] = 0.0;
    double sum = 0.0;
    for (std::size_t j = 0; j < k; ++j) sum += u_[j] * static_cast<double>(k - j) * x_[k - j];
    y_[k] = sum * one_over[k];
    double square = 0.0;
    for (std::size_t j = 0; j <= k; ++j) square += y_[j] * y_[k - j];
    u_[k] = -square;
    return y_[k];
}

double SmoothSeries::road_load(std::size_t k) {
    const auto& load = std::get<RoadLoad>(law_);
    x_[k] = rate_[k] / load.standstill;
    double square = 0.0;
    for (std::size_t j = 0; j <= k; ++j) square += rate_[j] * rate_[k - j];
    const double sign = rate_[0] >= 0.0 ? 1.0 : -1.0;
    const double constant = k == 0 ? load.grade : 0.0;
    return load.rolling * tanh_of(k) + constant + load.air * sign * square;
}

double SmoothSeries::tyre_slip(std::size_t k) {
    const auto& tyre = std::get<TyreSlip>(law_);
    if (k == 0) slow_ = tyre.radius * std::abs(reference_[0]) <= tyre.lowest_speed;
    const double scale = tyre.slip_stiffness / tyre.grip;
    if (slow_) {
        x_[k] = scale * tyre.radius * rate_[k] / tyre.lowest_speed;
    } else {
        // slip·|reference| = rate, order by order.
        double sum = rate_[k];
        const double sign = reference_[0] >= 0.0 ? 1.0 : -1.0;
        for (std::size_t j = 1; j <= k; ++j) sum -= sign * reference_[j] * quotient_[k - j];
        quotient_[k] = sum / std::abs(reference_[0]);
        x_[k] = scale * quotient_[k];
    }
    return tyre.radius * tyre.grip * tanh_of(k);
}

bool SmoothSeries::stays() const {
    const std::span<const double> rate = rates();
    if (saturated_ && std::abs(x_[0]) - swing({x_.data(), count_}) < enough) return false;
    if (const auto* load = std::get_if<RoadLoad>(&law_)) {
        return load->air == 0.0 || std::abs(rate[0]) >= swing(rate);
    }
    const auto& tyre = std::get<TyreSlip>(law_);
    const double distance = std::abs(tyre.radius * std::abs(reference_[0]) - tyre.lowest_speed);
    return distance >= tyre.radius * swing({reference_.data(), count_});
}

}  // namespace damper
