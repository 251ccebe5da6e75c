// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/speed_torque_series.hpp"

#include <cmath>
#include <limits>
#include <utility>

namespace damper {

namespace {

constexpr double hair = 1e-8;  // of a piece, by which a step may leave it

}  // namespace

SpeedTorqueSeries::SpeedTorqueSeries(SpeedTorque source, const Kernel& kernel)
    : source_(std::move(source)),
      rises_(source_.maps.front().at.front()),
      low_(source_.maps.front().at.front(), kernel),
      rise_(source_.maps.front().at.front(), kernel),
      highest_(rises_.harmonics.empty() ? 0.0 : rises_.harmonics.back().order) {}

void SpeedTorqueSeries::take_piece(const SpeedTorque::Map& map, std::size_t piece) {
    if (map_ == &map && piece_ == piece) return;
    map_ = &map;
    piece_ = piece;
    const std::size_t count = map.at.size();
    constexpr double endless = std::numeric_limits<double>::infinity();
    below_ = piece > 0 ? source_.speeds[piece - 1] : -endless;
    above_ = piece < count ? source_.speeds[piece] : endless;
    const bool between = piece > 0 && piece < count;
    width_ = between ? above_ - below_ : 1.0;
    const CrankTorque& low = map.at[piece > 0 ? piece - 1 : 0];
    const CrankTorque& high = map.at[between ? piece : (piece > 0 ? piece - 1 : 0)];
    rises_.mean = high.mean - low.mean;
    for (std::size_t i = 0; i < low.harmonics.size(); ++i) {
        rises_.harmonics[i].cosine = high.harmonics[i].cosine - low.harmonics[i].cosine;
        rises_.harmonics[i].sine = high.harmonics[i].sine - low.harmonics[i].sine;
    }
    low_.retune(low);
    rise_.retune(rises_);
}

void SpeedTorqueSeries::begin(double t, double h, double angle, double speed, double negligible) {
    take_piece(source_.map_at(t + 0.5 * h), source_.piece_of(speed));
    low_.begin(t, h, angle, speed, negligible);
    rise_.begin(t, h, angle, speed, negligible);
    speed_ = speed;
    negligible_ = negligible;
    count_ = quiet_ = 0;
    swing_ = 0.0;
    end_ = TorqueSeries::most_orders;  // known when the terms have become small
}

double SpeedTorqueSeries::coefficient(std::size_t k, double theta, double omega) {
    const bool between = std::isfinite(below_) && std::isfinite(above_);
    const double from = k == 0 ? speed_ - below_ : omega;
    share_[k] = between ? from / width_ : 0.0;
    if (k > 0) swing_ += std::abs(omega);
    of_rise_[k] = k < rise_.end() ? rise_.coefficient(k, theta, omega) : 0.0;
    double sum = k < low_.end() ? low_.coefficient(k, theta, omega) : 0.0;
    double size = std::abs(sum);
    for (std::size_t j = 0; j <= k; ++j) {
        const double term = share_[j] * of_rise_[k - j];
        sum += term;
        size += std::abs(term);
    }
    out_[k] = sum;
    count_ = k + 1;
    quiet_ = size <= negligible_ ? quiet_ + 1 : 0;
    if (quiet_ >= 2 && k >= low_.end() && k >= rise_.end()) end_ = k + 1;
    return sum;
}

bool SpeedTorqueSeries::stays() const {
    const double slack = hair * width_;
    return speed_ - swing_ >= below_ - slack && speed_ + swing_ <= above_ + slack;
}

}  // namespace damper
