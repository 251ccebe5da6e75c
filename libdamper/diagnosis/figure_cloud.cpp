// SPDX-License-Identifier: MIT
#include "libdamper/diagnosis/figure_cloud.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr double freedom = 4.0;         // of the t distribution
constexpr double least_scatter = 0.03;  // on the scale: no model tells vehicles apart by less

Eigen::VectorXd mean_of(const FigureRows& rows) {
    Eigen::VectorXd mean = Eigen::VectorXd::Zero(rows.cols());
    for (Eigen::Index c = 0; c < rows.cols(); ++c) {
        double sum = 0.0;
        int count = 0;
        for (Eigen::Index r = 0; r < rows.rows(); ++r) {
            if (!std::isfinite(rows(r, c))) continue;
            sum += rows(r, c);
            ++count;
        }
        if (count > 0) mean(c) = sum / count;
    }
    return mean;
}

/// Sum of products about the mean over the whole rows, and their number.
std::pair<Eigen::MatrixXd, int> products(const FigureRows& rows) {
    const Eigen::VectorXd mean = mean_of(rows);
    Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(rows.cols(), rows.cols());
    int count = 0;
    for (Eigen::Index r = 0; r < rows.rows(); ++r) {
        if (!rows.row(r).allFinite()) continue;
        const Eigen::VectorXd off = rows.row(r).transpose() - mean;
        sum += off * off.transpose();
        ++count;
    }
    return {sum, count};
}

}  // namespace

double on_scale(double value, const FigureScale& scale) {
    return std::asinh(value / scale.floor);
}

double error_on_scale(double value, const FigureScale& scale) {
    // Both kinds of error, through the slope 1/√(value² + floor²).
    return std::hypot(scale.error * value, scale.floor) / std::hypot(value, scale.floor);
}

FigureCloud::FigureCloud(const FigureRows& rows, const Eigen::MatrixXd& common)
    : mean_(mean_of(rows)), covariance_(common) {
    const auto [sum, count] = products(rows);
    constexpr int fewest = 4;
    if (count >= fewest) {
        const double own = count / (count + 2.0 * static_cast<double>(rows.cols()));
        covariance_ = own * sum / (count - 1.0) + (1.0 - own) * common;
    }
    covariance_.diagonal().array() += least_scatter * least_scatter;
}

double FigureCloud::log_density(const std::vector<std::optional<double>>& values,
                                const std::vector<double>& errors) const {
    std::vector<Eigen::Index> there;
    for (std::size_t i = 0; i < values.size(); ++i) {
        if (values[i]) there.push_back(static_cast<Eigen::Index>(i));
    }
    const auto d = static_cast<Eigen::Index>(there.size());
    if (d == 0) return 0.0;
    Eigen::VectorXd off(d);
    Eigen::MatrixXd spread(d, d);
    for (Eigen::Index a = 0; a < d; ++a) {
        const auto i = static_cast<std::size_t>(there[static_cast<std::size_t>(a)]);
        off(a) = *values[i] - mean_(static_cast<Eigen::Index>(i));
        for (Eigen::Index b = 0; b < d; ++b) {
            spread(a, b) =
                covariance_(there[static_cast<std::size_t>(a)], there[static_cast<std::size_t>(b)]);
        }
        spread(a, a) += errors[i] * errors[i];
    }
    // The t distribution with this covariance has the scale matrix covariance·(ν − 2)/ν.
    spread *= (freedom - 2.0) / freedom;
    const Eigen::LLT<Eigen::MatrixXd> root(spread);
    const double distance = root.matrixL().solve(off).squaredNorm();
    const Eigen::MatrixXd lower = root.matrixL();
    const double log_root = lower.diagonal().array().log().sum();
    const auto size = static_cast<double>(d);
    return std::lgamma(0.5 * (freedom + size)) - std::lgamma(0.5 * freedom) -
           0.5 * size * std::log(freedom * std::numbers::pi) - log_root -
           0.5 * (freedom + size) * std::log1p(distance / freedom);
}

Eigen::VectorXd FigureCloud::deviation() const {
    return covariance_.diagonal().array().sqrt();
}

Eigen::MatrixXd common_covariance(const std::vector<FigureRows>& causes) {
    const Eigen::Index figures = causes.empty() ? 0 : causes.front().cols();
    Eigen::MatrixXd sum = Eigen::MatrixXd::Zero(figures, figures);
    double freedom_left = 0.0;
    for (const FigureRows& rows : causes) {
        const auto [part, count] = products(rows);
        if (count < 2) continue;
        sum += part;
        freedom_left += count - 1.0;
    }
    if (freedom_left > 0.0) sum /= freedom_left;
    return sum;
}

}  // namespace damper
