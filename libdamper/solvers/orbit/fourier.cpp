// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/fourier.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

double FourierBasis::period() const {
    return 2.0 * std::numbers::pi / omega;
}

Eigen::VectorXd FourierBasis::derivative(const Eigen::VectorXd& x) const {
    Eigen::VectorXd out = Eigen::VectorXd::Zero(x.size());
    for (int n = 1; n <= harmonics; ++n) {
        out(2 * n - 1) = n * omega * x(2 * n);
        out(2 * n) = -n * omega * x(2 * n - 1);
    }
    return out;
}

Eigen::VectorXd FourierBasis::at(double t) const {
    Eigen::VectorXd out(size());
    out(0) = 1.0;
    const double c1 = std::cos(omega * t);
    const double s1 = std::sin(omega * t);
    double c = 1.0;
    double s = 0.0;
    for (int n = 1; n <= harmonics; ++n) {
        const double next = c * c1 - s * s1;
        s = s * c1 + c * s1;
        c = next;
        out(2 * n - 1) = c;
        out(2 * n) = s;
    }
    return out;
}

FourierGrid::FourierGrid(int of, int count)
    : harmonics(of), points(count), table(count, 2 * Eigen::Index{of} + 1) {
    const FourierBasis basis{.harmonics = of, .omega = 2.0 * std::numbers::pi};
    for (int k = 0; k < count; ++k) table.row(k) = basis.at(k / static_cast<double>(count));
}

Eigen::VectorXd resized(const Eigen::VectorXd& x, int harmonics) {
    Eigen::VectorXd out = Eigen::VectorXd::Zero(2 * Eigen::Index{harmonics} + 1);
    const Eigen::Index common = std::min(out.size(), x.size());
    out.head(common) = x.head(common);
    return out;
}

SeriesNow evaluate(const FourierBasis& basis, const Eigen::VectorXd& x, double t) {
    SeriesNow out{.value = x(0)};
    const double c1 = std::cos(basis.omega * t);
    const double s1 = std::sin(basis.omega * t);
    double c = 1.0;
    double s = 0.0;
    for (int n = 1; n <= basis.harmonics; ++n) {
        const double next = c * c1 - s * s1;
        s = s * c1 + c * s1;
        c = next;
        const double w = n * basis.omega;
        const double along = x(2 * n - 1) * c + x(2 * n) * s;
        out.value += along;
        out.rate += w * (x(2 * n) * c - x(2 * n - 1) * s);
        out.acceleration -= w * w * along;
    }
    return out;
}

PieceSums::PieceSums(int most, double omega)
    : omega_(omega), cosine_(Eigen::VectorXd::Zero(most + 1)), sine_(cosine_) {}

void PieceSums::add(double height, double from, double to) {
    const FourierBasis basis{.harmonics = static_cast<int>(cosine_.size()) - 1, .omega = omega_};
    add(height, from, to, basis.at(from), basis.at(to));
}

void PieceSums::add(double height, double from, double to, const Eigen::VectorXd& at_from,
                    const Eigen::VectorXd& at_to) {
    if (height == 0.0) return;
    cosine_(0) += height * (to - from);
    for (Eigen::Index j = 1; j < cosine_.size(); ++j) {
        const double scale = height / (static_cast<double>(j) * omega_);
        cosine_(j) += scale * (at_to(2 * j) - at_from(2 * j));
        sine_(j) -= scale * (at_to(2 * j - 1) - at_from(2 * j - 1));
    }
}

Eigen::MatrixXd PieceSums::product(int rows, int columns) const {
    Eigen::MatrixXd out(2 * Eigen::Index{rows} + 1, 2 * Eigen::Index{columns} + 1);
    const double norm = omega_ / (2.0 * std::numbers::pi);  // 1/T; both ½ and 2/T make 1/T
    out(0, 0) = norm * cosine(0);
    for (int n = 1; n <= columns; ++n) {
        out(0, 2 * n - 1) = norm * cosine(n);
        out(0, 2 * n) = norm * sine(n);
    }
    for (int m = 1; m <= rows; ++m) {
        out(2 * m - 1, 0) = 2.0 * norm * cosine(m);
        out(2 * m, 0) = 2.0 * norm * sine(m);
        for (int n = 1; n <= columns; ++n) {
            out(2 * m - 1, 2 * n - 1) = norm * (cosine(m - n) + cosine(m + n));
            out(2 * m - 1, 2 * n) = norm * (sine(m + n) + sine(n - m));
            out(2 * m, 2 * n - 1) = norm * (sine(m + n) + sine(m - n));
            out(2 * m, 2 * n) = norm * (cosine(m - n) - cosine(m + n));
        }
    }
    return out;
}

Eigen::VectorXd PieceSums::coefficients(int harmonics) const {
    Eigen::VectorXd out(2 * Eigen::Index{harmonics} + 1);
    const double norm = omega_ / std::numbers::pi;
    out(0) = mean();
    for (int m = 1; m <= harmonics; ++m) {
        out(2 * m - 1) = norm * cosine(m);
        out(2 * m) = norm * sine(m);
    }
    return out;
}

double PieceSums::mean() const {
    return cosine_(0) * omega_ / (2.0 * std::numbers::pi);
}

}  // namespace damper
