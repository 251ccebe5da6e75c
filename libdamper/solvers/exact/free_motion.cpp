// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/free_motion.hpp"

#include <cmath>

namespace damper {

namespace {

constexpr double small = 0.3;  // below this the closed forms cancel and their series are used

/// (1 − e^{−x})/x
double phi1(double x) {
    if (x > small) return -std::expm1(-x) / x;
    double term = 1.0, sum = 1.0;
    for (int k = 2; k < 18 && std::abs(term) > 1e-17; ++k) {
        term *= -x / k;
        sum += term;
    }
    return sum;
}

/// (1 − phi1(x))/x
double phi2(double x) {
    if (x > small) return (1.0 - phi1(x)) / x;
    double term = 0.5, sum = 0.5;
    for (int k = 3; k < 19 && std::abs(term) > 1e-17; ++k) {
        term *= -x / k;
        sum += term;
    }
    return sum;
}

}  // namespace

double FreeMotion::angle_at(double t) const {
    const double dt = t - time;
    return angle + dt * (speed + (push - decay * speed) * dt * phi2(decay * dt));
}

double FreeMotion::speed_at(double t) const {
    const double dt = t - time;
    return speed + (push - decay * speed) * dt * phi1(decay * dt);
}

void FreeMotion::advance(double t) {
    const double there = angle_at(t);
    speed = speed_at(t);
    angle = there;
    time = t;
}

void FreeMotion::series(double h, std::span<double> theta) const {
    theta[0] = angle;
    double omega = speed;                 // coefficient k of the speed
    double alpha = push - decay * speed;  // coefficient k of the acceleration
    for (std::size_t k = 0; k + 1 < theta.size(); ++k) {
        const double factor = h / static_cast<double>(k + 1);
        theta[k + 1] = factor * omega;
        omega = factor * alpha;
        alpha = -decay * omega;
    }
}

}  // namespace damper
