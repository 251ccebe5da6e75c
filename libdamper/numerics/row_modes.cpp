// SPDX-License-Identifier: MIT
#include "libdamper/numerics/row_modes.hpp"

#include "libdamper/numerics/eigen_pairs.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace damper {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

/// A singular value is known to about this share of the largest one; less is nothing.
double rounding_of(const MatrixXd& matrix) {
    constexpr double safety = 4.0;
    return safety * static_cast<double>(std::max(matrix.rows(), matrix.cols())) *
           std::numeric_limits<double>::epsilon();
}

/// An orthonormal basis of what the held rows leave free.
MatrixXd free_motions(const MatrixXd& held, Index n) {
    if (held.rows() == 0) return MatrixXd::Identity(n, n);
    const Eigen::ColPivHouseholderQR<MatrixXd> qr(held.transpose());
    const MatrixXd q = qr.householderQ();
    return q.rightCols(n - qr.rank());
}

}  // namespace

RowModes undamped_row_modes(const RowSystem& system) {
    const Index n = system.mass.size();
    const VectorXd root = system.mass.cwiseSqrt().cwiseInverse();
    const MatrixXd free = free_motions(system.held * root.asDiagonal(), n);
    const Index count = free.cols();
    const MatrixXd rows = system.springs * root.asDiagonal() * free;

    RowModes modes;
    modes.frequency = VectorXd::Zero(count);
    modes.strain_share = MatrixXd::Zero(rows.rows(), count);
    MatrixXd turned = MatrixXd::Identity(count, count);
    if (rows.rows() > 0 && count > 0) {
        // Jacobi's method: it keeps small singular values of rows that differ widely in size.
        const Eigen::JacobiSVD<MatrixXd, Eigen::FullPivHouseholderQRPreconditioner> svd(
            rows, Eigen::ComputeFullU | Eigen::ComputeFullV);
        const double least = rounding_of(rows) * svd.singularValues()(0);
        turned = svd.matrixV().rowwise().reverse();
        for (Index i = 0; i < svd.singularValues().size(); ++i) {
            if (!(svd.singularValues()(i) > least)) break;
            const Index at = count - 1 - i;
            modes.frequency(at) = svd.singularValues()(i);
            modes.strain_share.col(at) = svd.matrixU().col(i).cwiseAbs2();
        }
    }
    const MatrixXd scaled = free * turned;  // √M·φ
    modes.kinetic_share = scaled.cwiseAbs2();
    modes.shape = root.asDiagonal() * scaled;
    return modes;
}

std::vector<RowOscillation> damped_row_modes(const RowSystem& system) {
    const Index n = system.mass.size();
    const Index springs = system.springs.rows();
    const VectorXd root = system.mass.cwiseSqrt().cwiseInverse();
    const MatrixXd rows = system.springs * root.asDiagonal();
    MatrixXd a = MatrixXd::Zero(n + springs, n + springs);
    a.topLeftCorner(n, n) = -(root.asDiagonal() * system.damping * root.asDiagonal());
    a.topRightCorner(n, springs) = -rows.transpose();
    a.bottomLeftCorner(springs, n) = rows;
    const EigenPairs pairs = eigen_pairs(a);
    const double least = rounding_of(a) * pairs.values.cwiseAbs().maxCoeff();

    std::vector<RowOscillation> out;
    for (Index i = 0; i < a.rows(); ++i) {
        const std::complex<double> lambda = pairs.values(i);
        if (!(lambda.imag() > least)) continue;
        Eigen::VectorXcd scaled = pairs.vectors.col(i).head(n);
        Index peak = 0;
        scaled.cwiseAbs().maxCoeff(&peak);
        scaled *= std::abs(scaled(peak)) / scaled(peak) / scaled.norm();
        out.push_back({.lambda = lambda, .shape = root.asDiagonal() * scaled});
    }
    std::sort(out.begin(), out.end(), [](const RowOscillation& x, const RowOscillation& y) {
        return x.lambda.imag() < y.lambda.imag();
    });
    return out;
}

}  // namespace damper
