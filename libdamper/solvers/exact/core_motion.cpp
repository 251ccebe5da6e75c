// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/core_motion.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr double shortest_step = 1e-15;  // s; a series that needs less will never be complete
constexpr double nothing_left = 4e-17;   // of the speed scale: less than the last bit

}  // namespace

CoreMotion::CoreMotion(const Stacked& stacked, std::vector<TorqueSeries>& inputs)
    : stacked_(&stacked), inputs_(&inputs), kernel_(best_kernel()) {
    const std::size_t n = stacked.line().masses.size();
    const std::size_t widest = (n + 3) / 4 * 4;
    place_.assign(n, -1);
    masses_.reserve(n);
    branches_.reserve(stacked.line().branches.size());
    k_.resize(n * widest);
    c_.resize(n * widest);
    for (auto* v : {&inverse_inertia_, &d0_, &d_drift_}) v->resize(widest);
    for (auto* v : {&theta_, &omega_, &alpha_}) v->resize((most_orders + 2) * widest);
    input_theta_.resize(most_orders + 2);
}

void CoreMotion::choose(std::span<const std::size_t> masses,
                        std::span<const std::size_t> branches) {
    std::fill(place_.begin(), place_.end(), -1);
    masses_.assign(masses.begin(), masses.end());
    branches_.assign(branches.begin(), branches.end());
    for (std::size_t i = 0; i < masses_.size(); ++i) place_[masses_[i]] = static_cast<int>(i);
    width_ = std::max<std::size_t>((masses_.size() + 3) / 4 * 4, 4);
    std::fill(inverse_inertia_.begin(), inverse_inertia_.end(), 0.0);
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        inverse_inertia_[i] = 1.0 / stacked_->line().masses[masses_[i]].inertia;
    }
    refresh();
}

void CoreMotion::refresh() {
    const std::size_t m = masses_.size();
    std::fill_n(k_.begin(), m * width_, 0.0);
    std::fill_n(c_.begin(), m * width_, 0.0);
    std::fill_n(d0_.begin(), width_, 0.0);
    std::fill_n(d_drift_.begin(), width_, 0.0);
    for (const std::size_t b : branches_) {
        const Stacked::BranchNow& now = stacked_->branches()[b];
        const double drift = stacked_->drift(b);
        const double constant = now.offset + now.damping * drift;
        for (const RowEntry& row : stacked_->line().branches[b].row) {
            const int i = place_[static_cast<std::size_t>(row.inertia)];
            if (i < 0) continue;
            const auto at = static_cast<std::size_t>(i);
            const double scale = row.factor * inverse_inertia_[at];
            d0_[at] -= scale * constant;
            d_drift_[at] -= scale * now.spring * drift;
            if (now.spring == 0.0 && now.damping == 0.0) continue;
            for (const RowEntry& column : stacked_->line().branches[b].row) {
                const auto j =
                    static_cast<std::size_t>(place_[static_cast<std::size_t>(column.inertia)]);
                k_[j * width_ + at] += scale * now.spring * column.factor;
                c_[j * width_ + at] += scale * now.damping * column.factor;
            }
        }
    }
    double stiffest = 0.0;
    double most_damped = 0.0;
    for (std::size_t i = 0; i < m; ++i) {
        double k = 0.0, c = 0.0;
        for (std::size_t j = 0; j < m; ++j) {
            k += std::abs(k_[j * width_ + i]);
            c += std::abs(c_[j * width_ + i]);
        }
        stiffest = std::max(stiffest, k);
        most_damped = std::max(most_damped, c);
    }
    quickest_ = std::max(std::sqrt(stiffest), most_damped);
}

void CoreMotion::load(double t, double h, std::span<const double> angle,
                      std::span<const double> speed, double speed_scale) {
    h_ = h;
    std::fill_n(theta_.begin(), width_, 0.0);
    std::fill_n(omega_.begin(), width_, 0.0);
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        theta_[i] = angle[masses_[i]];
        omega_[i] = speed[masses_[i]];
    }
    const auto& inputs = stacked_->line().inputs;
    for (std::size_t u = 0; u < inputs.size(); ++u) {
        const auto i = static_cast<std::size_t>(inputs[u].inertia);
        const double reference = stacked_->line().masses[i].reference_speed;
        (*inputs_)[u].begin(t, h, reference * t + angle[i], reference + speed[i],
                            nothing_left * speed_scale * stacked_->line().masses[i].inertia / h);
    }
}

void CoreMotion::add_constants(std::size_t order, double t, double h) {
    double* alpha = &alpha_[order * width_];
    if (order == 0) {
        for (std::size_t i = 0; i < width_; ++i) alpha[i] = d0_[i] + d_drift_[i] * t;
    } else if (order == 1) {
        for (std::size_t i = 0; i < width_; ++i) alpha[i] = d_drift_[i] * h;
    } else {
        std::fill_n(alpha, width_, 0.0);
    }
}

void CoreMotion::add_inputs(std::size_t order) {
    const auto& inputs = stacked_->line().inputs;
    for (std::size_t u = 0; u < inputs.size(); ++u) {
        const auto i =
            static_cast<std::size_t>(place_[static_cast<std::size_t>(inputs[u].inertia)]);
        for (std::size_t k = order >= 1 ? order - 1 : 0; k <= order; ++k) {
            input_theta_[k] = theta_[k * width_ + i];
        }
        alpha_[order * width_ + i] +=
            inverse_inertia_[i] * (*inputs_)[u].coefficient(order, input_theta_);
    }
}

bool CoreMotion::negligible(std::size_t order, double speed_scale) const {
    double largest = 0.0;
    for (std::size_t i = 0; i < width_; ++i) {
        largest = std::max(largest, std::abs(omega_[order * width_ + i]));
    }
    return largest <= nothing_left * speed_scale;
}

double CoreMotion::expand(double t, double h, std::span<const double> angle,
                          std::span<const double> speed, double speed_scale) {
    if (!(h > shortest_step)) {
        throw SolverError(
            fmt::format("stopped at t = {:.6g} s: a number grew beyond all bounds", t), t, "");
    }
    load(t, h, angle, speed, speed_scale);
    const int columns = static_cast<int>(masses_.size());
    const int width = static_cast<int>(width_);
    std::size_t quiet = 0;
    std::size_t k = 0;
    for (; k + 1 < most_orders && quiet < 2; ++k) {
        add_constants(k, t, h);
        kernel_.accelerate(k_.data(), c_.data(), columns, width, &theta_[k * width_],
                           &omega_[k * width_], &alpha_[k * width_]);
        add_inputs(k);
        const double factor = h / static_cast<double>(k + 1);
        for (std::size_t i = 0; i < width_; ++i) {
            theta_[(k + 1) * width_ + i] = factor * omega_[k * width_ + i];
            omega_[(k + 1) * width_ + i] = factor * alpha_[k * width_ + i];
        }
        quiet = k >= 2 && negligible(k + 1, speed_scale) ? quiet + 1 : 0;
    }
    orders_ = k;
    if (quiet < 2) {
        // Not complete: a shorter step needs fewer orders. The torque's series were made for the
        // longer one, so start again.
        return expand(t, 0.5 * h, angle, speed, speed_scale);
    }
    return h_;
}

double CoreMotion::acceleration_bound(std::size_t mass) const {
    const auto i = static_cast<std::size_t>(place_[mass]);
    double sum = 0.0;
    for (std::size_t k = 1; k <= orders_; ++k) {
        sum += static_cast<double>(k) * std::abs(omega_[k * width_ + i]);
    }
    return sum / h_;
}

void CoreMotion::at(double s, std::span<double> angle, std::span<double> speed) const {
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        double theta = 0.0, omega = 0.0;
        for (std::size_t k = orders_ + 1; k-- > 0;) {
            theta = theta * s + theta_[k * width_ + i];
            omega = omega * s + omega_[k * width_ + i];
        }
        angle[masses_[i]] = theta;
        speed[masses_[i]] = omega;
    }
}

void CoreMotion::speeds_at(double s, std::span<double> speed) const {
    // Horner over all lanes at once; the lanes beyond the core are zero.
    for (std::size_t lane = 0; lane < width_; lane += 4) {
        std::array<double, 4> v{};
        for (std::size_t k = orders_ + 1; k-- > 0;) {
            const double* c = &omega_[k * width_ + lane];
            for (std::size_t l = 0; l < 4; ++l) v[l] = v[l] * s + c[l];
        }
        for (std::size_t l = 0; l < 4 && lane + l < masses_.size(); ++l) {
            speed[masses_[lane + l]] = v[l];
        }
    }
}

void CoreMotion::acceleration_at(double s, std::span<double> acceleration) const {
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        double alpha = 0.0;
        for (std::size_t k = orders_ + 1; k-- > 1;) {
            alpha = alpha * s + static_cast<double>(k) * omega_[k * width_ + i];
        }
        acceleration[masses_[i]] = alpha / h_;
    }
}

}  // namespace damper
