// SPDX-License-Identifier: MIT
#include "libdamper/signals/order_fit.hpp"

#include <Eigen/Dense>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr double cycle = 4.0 * std::numbers::pi;
constexpr double rounding = 1e-9;  // rad; a hair must not cost a cycle

}  // namespace

double amplitude(const OrderBasis& basis, const OrderSums& sums, double turn) {
    if (basis.count < 4.0 || !(turn > 0.0) || turn >= std::numbers::pi) return 0.0;
    Eigen::Matrix3d normal;
    normal << basis.count, basis.c, basis.s,  //
        basis.c, basis.cc, basis.cs,          //
        basis.s, basis.cs, basis.count - basis.cc;
    const Eigen::Vector3d solution = normal.ldlt().solve(Eigen::Vector3d(sums.v, sums.vc, sums.vs));
    return std::hypot(solution(1), solution(2));
}

void DriftFreeHalfOrder::Sums::add(const Sums& other) {
    basis.count += other.basis.count;
    basis.c += other.basis.c;
    basis.s += other.basis.s;
    basis.cc += other.basis.cc;
    basis.cs += other.basis.cs;
    sums.v += other.sums.v;
    sums.vc += other.sums.vc;
    sums.vs += other.sums.vs;
}

void DriftFreeHalfOrder::begin_cycle() {
    // The oldest spline ends here; those that would have begun before the first sample lack a part.
    if (cycle_ >= 2) whole_.add(open_[2]);
    open_ = {Sums{}, open_[0], open_[1]};
    ++cycle_;
}

void DriftFreeHalfOrder::add(double angle, double value, std::complex<double> half) {
    if (!begun_) first_ = angle;
    begun_ = true;
    before_ = last_;
    last_ = angle;
    const auto bound = [&] { return static_cast<double>(cycle_ + 1) * cycle - rounding; };
    while (angle - first_ >= bound()) begin_cycle();
    const double u = (angle - first_) / cycle - static_cast<double>(cycle_);
    const std::array weights{0.5 * u * u, 0.5 + u * (1.0 - u), 0.5 * (1.0 - u) * (1.0 - u)};
    for (std::size_t k = 0; k < weights.size(); ++k) {
        open_[k].basis.add(half, weights[k]);
        open_[k].sums.add(value, half, weights[k]);
    }
}

void DriftFreeHalfOrder::finish() {
    const double bound = static_cast<double>(cycle_ + 1) * cycle - rounding;
    if (begun_ && last_ + (last_ - before_) - first_ >= bound) begin_cycle();
}

double DriftFreeHalfOrder::amplitude(double turn) const {
    return damper::amplitude(whole_.basis, whole_.sums, turn);
}

bool WholeCycles::completes(double angle) {
    if (samples_ == 0.0) {
        first_ = angle;
        bound_ = first_ + cycle - rounding;
    }
    samples_ += 1.0;
    before_ = last_;
    last_ = angle;
    if (angle < bound_) return false;
    while (angle >= bound_) {
        cycles_ += 1.0;
        bound_ = first_ + (cycles_ + 1.0) * cycle - rounding;
    }
    return true;
}

bool WholeCycles::complete_at_end() const {
    return samples_ > 1.0 && last_ + (last_ - before_) >= bound_;
}

double WholeCycles::mean_step() const {
    return samples_ > 1.0 ? (last_ - first_) / (samples_ - 1.0) : 0.0;
}

}  // namespace damper
