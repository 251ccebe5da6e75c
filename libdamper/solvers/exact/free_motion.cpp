// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/free_motion.hpp"

#include "libdamper/solvers/exact/one_over.hpp"

#include <cmath>

namespace damper {

namespace {

constexpr double small = 0.3;  // below this the closed forms cancel and their series are used
constexpr double nothing_left = 1e-20;  // of the first term of a series

/// (1 − e^{−x})/x and (1 − that)/x
struct Phi {
    double one = 0.0, two = 0.0;
};

Phi phi(double x) {
    if (std::abs(x) > small) {
        const double one = -std::expm1(-x) / x;
        return {one, (1.0 - one) / x};
    }
    double term = 1.0, one = 1.0;
    for (std::size_t k = 2; k < 20 && std::abs(term) > nothing_left; ++k) {
        term *= -x * one_over[k];
        one += term;
    }
    double two = 0.5;
    term = 0.5;
    for (std::size_t k = 3; k < 20 && std::abs(term) > nothing_left; ++k) {
        term *= -x * one_over[k];
        two += term;
    }
    return {one, two};
}

}  // namespace

FreeMotion::Now FreeMotion::at(double t) const {
    const double dt = t - time;
    const double now = push - decay * speed;
    if (dt == 0.0) return {angle, speed, now};
    const Phi p = phi(decay * dt);
    const double there = speed + now * dt * p.one;
    return {angle + dt * (speed + now * dt * p.two), there, push - decay * there};
}

void FreeMotion::advance(double t) {
    const Now there = at(t);
    angle = there.angle;
    speed = there.speed;
    time = t;
}

void FreeMotion::add_series(double t0, double h, double factor, std::span<double> out) const {
    const Now start = at(t0);
    out[0] += factor * start.angle;
    double omega = factor * start.speed;  // coefficient k of the speed
    double alpha = factor * start.acceleration;
    for (std::size_t k = 1; k < out.size(); ++k) {
        const double f = h * one_over[k];
        out[k] += f * omega;
        omega = f * alpha;
        alpha = -decay * omega;
        if (alpha == 0.0 && omega == 0.0) break;
        if (k > 2 && std::abs(h * omega) < nothing_left) break;
    }
}

}  // namespace damper
