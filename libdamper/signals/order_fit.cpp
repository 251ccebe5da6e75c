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
