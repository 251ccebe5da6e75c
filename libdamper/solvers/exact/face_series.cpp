// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/face_series.hpp"

#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

constexpr double hair = 1e-9;  // of a piece of the friction curve, by which a step may leave it

}  // namespace

FaceSeries::FaceSeries(const Driveline& line, const FaceBranch& faces)
    : line_(&line), faces_(&faces), reduced_(faces.reduced_inertia(line.masses)) {
    for (const FaceModulation& one : faces.modulations) {
        swings_.emplace_back();
        swings_.back().law = &one;
    }
    products_.resize(swings_.size() + 1);
}

double FaceSeries::quickest(std::span<const double> speed) const {
    double quickest = 0.0;
    for (const Swing& swing : swings_) {
        if (swing.law->share == 0.0) continue;
        quickest = std::max(quickest, std::abs(rate_of(*line_, swing.law->row, speed.data())));
    }
    return quickest;
}

void FaceSeries::begin(double t, double h, double since, Rubbing mode, double negligible) {
    h_ = h;
    since_ = since;
    negligible_ = negligible;
    mode_ = mode;
    sense_ = mode == Rubbing::slipping_up ? 1.0 : mode == Rubbing::slipping_down ? -1.0 : 0.0;
    count_ = quiet_ = 0;
    swing_of_speed_ = 0.0;
    // A step never crosses a corner of the load.
    const Polyline& load = faces_->law.load;
    const Polyline::Line line = load.line_of(load.piece_of(t + 0.5 * h), t);
    load_ = line.value;
    load_rise_ = line.slope * h;
}

/// Order k of friction, swings and their product.
void FaceSeries::add_order(std::size_t k) {
    const FrictionFaces& law = faces_->law;
    const double speed = sense_ * law.radius * rate_[k];
    if (k == 0) {
        piece_ = std::max<std::size_t>(law.friction.piece_of(speed), 1);
        const Polyline::Line line = law.friction.line_of(piece_, speed);
        friction_[0] = line.value;
        slope_ = line.slope;
    } else {
        friction_[k] = slope_ * speed;
        swing_of_speed_ += std::abs(speed);
    }
    double product = load_ * friction_[k] + (k > 0 ? load_rise_ * friction_[k - 1] : 0.0);
    products_[0][k] = product *= law.lever;
    for (std::size_t m = 0; m < swings_.size(); ++m) {
        Swing& swing = swings_[m];
        if (k == 0) {
            swing.c[0] = std::cos(swing.phi[0]);
            swing.s[0] = std::sin(swing.phi[0]);
        } else {
            double c = 0.0, s = 0.0;
            for (std::size_t j = 1; j <= k; ++j) {
                const double turn = static_cast<double>(j) * swing.phi[j];
                c -= turn * swing.s[k - j];
                s += turn * swing.c[k - j];
            }
            swing.c[k] = c * one_over[k];
            swing.s[k] = s * one_over[k];
        }
        double sum = products_[m][k];
        for (std::size_t j = 0; j <= k; ++j) {
            sum += products_[m][j] * swing.law->share * swing.c[k - j];
        }
        products_[m + 1][k] = product = sum;
    }
    count_ = k + 1;
    quiet_ = k > 1 && std::abs(product) <= negligible_ ? quiet_ + 1 : 0;
}

double FaceSeries::torque(std::size_t k, double pull) {
    if (sense_ == 0.0) return torque_[k] = reduced_ * pull;
    const double back = k == 0 && sense_ < 0.0 ? faces_->law.backstop : 0.0;
    return torque_[k] = sense_ * (products_.back()[k] + back);
}

std::span<const double> FaceSeries::guard(bool up, std::span<double> out) const {
    const auto& limit = products_.back();
    for (std::size_t k = 0; k < count_; ++k) {
        if (sense_ != 0.0) {
            out[k] = sense_ * rate_[k];
        } else {
            out[k] = faces_->law.stiction * limit[k] + (up ? -torque_[k] : torque_[k]);
        }
    }
    if (sense_ == 0.0 && !up) out[0] += faces_->law.backstop;
    return out.first(count_);
}

bool FaceSeries::stays() const {
    if (sense_ == 0.0) return true;
    const Polyline& curve = faces_->law.friction;
    const double speed = sense_ * faces_->law.radius * rate_[0];
    constexpr double endless = std::numeric_limits<double>::infinity();
    // The first piece goes on below zero: slip ends there by its guard.
    const double low = piece_ <= 1 ? -endless : curve.at[piece_ - 1];
    const double high = piece_ < curve.at.size() ? curve.at[piece_] : endless;
    if (curve.at.size() < 2) return true;
    const double slack = hair * curve.at.back();
    return speed - swing_of_speed_ >= low - slack && speed + swing_of_speed_ <= high + slack;
}

}  // namespace damper
