// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/step.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <limits>

namespace damper {

namespace {

constexpr double safety = 0.9;
constexpr double of_error = 0.17;  // exponents of size control
constexpr double of_before = 0.04;
constexpr double least_growth = 0.2, most_growth = 10.0;
constexpr double least_error = 1e-4;  // a smaller one says nothing of the next step
constexpr int tries_at_most = 500;

}  // namespace

Step::Step(Equations& equations, double largest, double first)
    : equations_(&equations), largest_(largest), size_(first) {
    for (std::vector<double>* v : {&y_from_, &y_to_, &slope_from_, &slope_to_, &error_}) {
        v->assign(equations.size(), 0.0);
    }
}

void Step::start(const std::vector<double>& y, double t) {
    if (&y != &y_from_) y_from_ = y;
    from_ = t;
    equations_->at_start(y_from_, slope_from_, t);
    log_error_before_ = 0.0;
}

void Step::take(double limit, const Allowed& allowed) {
    bool failed = false;
    for (int i = 0; i < tries_at_most; ++i) {
        double h = std::min(size_, largest_);
        const bool cut = from_ + h >= limit;
        if (cut) h = limit - from_;
        equations_->begin(slope_from_);
        stepper_.do_step(std::ref(*equations_), y_from_, slope_from_, from_, y_to_, slope_to_, h,
                         error_);
        const double e = error(allowed);
        const double log_e = std::log(std::max(e, least_error));
        if (e <= 1.0) {
            double growth = safety * std::exp(of_before * log_error_before_ - of_error * log_e);
            growth = std::clamp(growth, least_growth, failed ? 1.0 : most_growth);
            log_error_before_ = log_e;
            // What lies ahead of the cut says nothing against the size that was meant.
            size_ = cut ? std::max(size_, h * growth) : h * growth;
            size_ = std::min(size_, largest_);
            length_ = h;
            shifted_ = 0.0;
            to_ = cut ? limit : from_ + h;
            return;
        }
        ++rejected_;
        failed = true;
        size_ = h * std::max(least_growth, safety * std::exp(-of_error * log_e));
    }
    throw SolverError(fmt::format("stopped at t = {:.6g} s: the step size fell below what the "
                                  "tolerance allows",
                                  from_),
                      from_, "");
}

double Step::error(const Allowed& allowed) const {
    const std::size_t n = error_.size() / 2;
    double angle = 0.0, speed = 0.0, sum = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        angle = std::max(angle, std::abs(error_[i]));
        speed = std::max(speed, std::abs(error_[n + i]));
        sum += error_[i] + error_[n + i];
    }
    // A comparison with a NaN is false: it must count as worst, not as none.
    if (std::isnan(sum)) return std::numeric_limits<double>::max();
    return std::max(angle / allowed.angle, speed / allowed.speed);
}

void Step::retake(double t) {
    length_ = t - from_;
    to_ = t;
    shifted_ = 0.0;
    equations_->begin(slope_from_);
    stepper_.do_step(std::ref(*equations_), y_from_, slope_from_, from_, y_to_, slope_to_, length_);
}

void Step::shift(double dt) {
    const std::size_t n = y_to_.size() / 2;
    for (std::size_t i = 0; i < n; ++i) {
        y_to_[i] += dt * (y_to_[n + i] + 0.5 * dt * slope_to_[n + i]);
        y_to_[n + i] += dt * slope_to_[n + i];
    }
    to_ += dt;
    shifted_ += dt;
}

double Step::shift_error(double dt) const {
    const std::size_t n = y_to_.size() / 2;
    double jump = 0.0;  // of the acceleration over the step
    for (std::size_t i = n; i < 2 * n; ++i) {
        jump = std::max(jump, std::abs(slope_to_[i] - slope_from_[i]));
    }
    return 0.5 * dt * dt * jump / length_;
}

void Step::go_on() {
    std::swap(y_from_, y_to_);
    std::swap(slope_from_, slope_to_);
    from_ = to_;
    equations_->go_on();
}

void Step::at(double t, std::vector<double>& y) const {
    stepper_.calc_state(t - from_, y, y_from_, slope_from_, 0.0, y_to_, slope_to_, length_);
}

}  // namespace damper
