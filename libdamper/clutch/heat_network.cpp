// SPDX-License-Identifier: MIT
#include "libdamper/clutch/heat_network.hpp"

#include "libdamper/base/error.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

/// ∫ of e^(−λs), of its integral, and of that one again, from 0 to t: t, t²/2, t³/6 for λ → 0.
struct Decays {
    double once, twice, thrice;
};

Decays decays(double rate, double time) {
    const double x = rate * time;
    // Below, the closed forms lose digits to cancellation; the series has them all.
    if (x < 0.5) {
        Decays sum{0.0, 0.0, 0.0};
        double term = 1.0;  // (−x)ⁿ/n!
        for (int n = 0; n < 20; ++n) {
            sum.once += term / (n + 1);
            sum.twice += term / ((n + 1.0) * (n + 2.0));
            sum.thrice += term / ((n + 1.0) * (n + 2.0) * (n + 3.0));
            term *= -x / (n + 1);
        }
        return {sum.once * time, sum.twice * time * time, sum.thrice * time * time * time};
    }
    const double once = -std::expm1(-x) / rate;
    const double twice = (time - once) / rate;
    return {once, twice, (0.5 * time * time - twice) / rate};
}

}  // namespace

HeatNetwork::HeatNetwork(const Eigen::VectorXd& capacity, const Eigen::VectorXd& to_air,
                         const Eigen::MatrixXd& between)
    : capacity_(capacity), to_air_(to_air) {
    const Eigen::Index n = capacity.size();
    if (n == 0 || to_air.size() != n || between.rows() != n || between.cols() != n) {
        throw ModelError("the lists of a heat network do not fit together");
    }
    if (!(capacity.minCoeff() > 0.0) || !(to_air.minCoeff() >= 0.0)) {
        throw ModelError("heat capacities must be above 0, conductances at least 0");
    }
    Eigen::MatrixXd flow = to_air.asDiagonal();
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) {
            if (i == j) continue;
            if (!(between(i, j) >= 0.0) || between(i, j) != between(j, i)) {
                throw ModelError("conductances between plates must be at least 0 and symmetric");
            }
            flow(i, i) += between(i, j);
            flow(i, j) -= between(i, j);
        }
    }
    const Eigen::VectorXd root = capacity.cwiseSqrt();
    const Eigen::VectorXd inverse = root.cwiseInverse();
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> parts(inverse.asDiagonal() * flow *
                                                               inverse.asDiagonal());
    rate_ = parts.eigenvalues().cwiseMax(0.0);
    shape_ = inverse.asDiagonal() * parts.eigenvectors();
    weigh_ = parts.eigenvectors().transpose() * root.asDiagonal();
}

Eigen::VectorXd HeatNetwork::after(const Eigen::VectorXd& theta, double time,
                                   const Eigen::VectorXd& first,
                                   const Eigen::VectorXd& last) const {
    if (time <= 0.0) return theta;
    Eigen::VectorXd part = weigh_ * theta;
    const Eigen::VectorXd begin = shape_.transpose() * first;
    const Eigen::VectorXd slope = shape_.transpose() * (last - first) / time;
    for (Eigen::Index i = 0; i < part.size(); ++i) {
        const Decays d = decays(rate_(i), time);
        part(i) += -rate_(i) * d.once * part(i) + begin(i) * d.once + slope(i) * d.twice;
    }
    return shape_ * part;
}

Eigen::VectorXd HeatNetwork::cooled(const Eigen::VectorXd& theta, double time) const {
    const Eigen::VectorXd part =
        ((-time * rate_.array()).exp() * (weigh_ * theta).array()).matrix();
    return shape_ * part;
}

double HeatNetwork::heat_lost(const Eigen::VectorXd& theta, double time,
                              const Eigen::VectorXd& first, const Eigen::VectorXd& last) const {
    if (time <= 0.0) return 0.0;
    const Eigen::VectorXd part = weigh_ * theta;
    const Eigen::VectorXd begin = shape_.transpose() * first;
    const Eigen::VectorXd slope = shape_.transpose() * (last - first) / time;
    Eigen::VectorXd integral(part.size());
    for (Eigen::Index i = 0; i < part.size(); ++i) {
        const Decays d = decays(rate_(i), time);
        integral(i) = part(i) * d.once + begin(i) * d.twice + slope(i) * d.thrice;
    }
    return to_air_.dot(shape_ * integral);
}

double HeatNetwork::stored(const Eigen::VectorXd& theta) const {
    return capacity_.dot(theta);
}

double HeatNetwork::slowest() const {
    const double least = rate_.minCoeff();
    return least > 0.0 ? 1.0 / least : std::numeric_limits<double>::infinity();
}

}  // namespace damper
