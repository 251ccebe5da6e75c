// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/core_motion.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr double shortest_step = 1e-15;  // s; a series that needs less will never be complete
constexpr double kink_step = 1e-6;  // s; a kink of a smooth law counts no more in so short a time
constexpr double nothing_left = 1.1e-16;  // of the speed scale: the last bit
constexpr std::size_t dense_at_most = 8;  // inertias

[[noreturn]] void beyond_bounds(double t) {
    throw SolverError(fmt::format("stopped at t = {:.6g} s: a number grew beyond all bounds", t), t,
                      "");
}

}  // namespace

CoreMotion::CoreMotion(const Stacked& stacked, const Kernel& kernel)
    : stacked_(&stacked), kernel_(&kernel) {
    const Driveline& line = stacked.line();
    for (const Input& input : line.inputs) {
        const auto i = static_cast<std::size_t>(input.inertia);
        inputs_.push_back({.series = TorqueSeries(input.source, kernel),
                           .mass = i,
                           .speed = line.masses[i].reference_speed,
                           .inertia = line.masses[i].inertia});
    }
    for (const SmoothBranch& branch : line.smooth) smooth_.emplace_back(branch.law);
    const std::size_t n = line.masses.size();
    const std::size_t widest = (n + 3) / 4 * 4;
    place_.assign(n, -1);
    masses_.reserve(n);
    branches_.reserve(line.branches.size());
    ties_.reserve(line.branches.size());
    std::size_t ends = 0;
    for (const Branch& branch : line.branches) ends += branch.row.size();
    ends_.reserve(ends);
    k_.resize(dense_at_most * dense_at_most);
    c_.resize(dense_at_most * dense_at_most);
    for (auto* v : {&inverse_inertia_, &d0_, &d_drift_, &bound_}) v->resize(widest);
    lanes_.resize(2 * widest);
    turned_.resize(widest * stride);
    for (auto* v : {&theta_, &omega_, &alpha_}) v->resize((most_orders + 1) * widest);
}

void CoreMotion::choose(std::span<const std::size_t> masses,
                        std::span<const std::size_t> branches) {
    std::fill(place_.begin(), place_.end(), -1);
    masses_.assign(masses.begin(), masses.end());
    branches_.assign(branches.begin(), branches.end());
    for (std::size_t i = 0; i < masses_.size(); ++i) place_[masses_[i]] = static_cast<int>(i);
    width_ = std::max<std::size_t>((masses_.size() + 3) / 4 * 4, 4);
    dense_ = masses_.size() <= dense_at_most;
    for (Feed& feed : inputs_) feed.place = place(feed.mass);
    std::fill(inverse_inertia_.begin(), inverse_inertia_.end(), 0.0);
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        inverse_inertia_[i] = 1.0 / stacked_->line().masses[masses_[i]].inertia;
    }
    refresh();
}

void CoreMotion::refresh() {
    ties_.clear();
    ends_.clear();
    std::fill_n(d0_.begin(), width_, 0.0);
    std::fill_n(d_drift_.begin(), width_, 0.0);
    for (const std::size_t b : branches_) {
        const Stacked::BranchNow& now = stacked_->branches()[b];
        const double drift = stacked_->drift(b);
        const double constant = now.offset + now.damping * drift;
        const std::size_t first = ends_.size();
        for (const RowEntry& entry : stacked_->line().branches[b].row) {
            const int i = place_[static_cast<std::size_t>(entry.inertia)];
            if (i < 0) continue;
            const auto at = static_cast<std::size_t>(i);
            const double scale = entry.factor * inverse_inertia_[at];
            d0_[at] -= scale * constant;
            d_drift_[at] -= scale * now.spring * drift;
            ends_.push_back({at, entry.factor});
        }
        if (now.spring == 0.0 && now.damping == 0.0) {
            ends_.resize(first);
        } else {
            ties_.push_back({now.spring, now.damping, first, ends_.size()});
        }
    }
    if (dense_) fill_matrices();
    find_quickest();
}

void CoreMotion::fill_matrices() {
    const std::size_t size = masses_.size() * width_;
    std::fill_n(k_.begin(), size, 0.0);
    std::fill_n(c_.begin(), size, 0.0);
    for (const Tie& tie : ties_) {
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            const std::size_t i = ends_[e].place;
            const double scale = ends_[e].factor * inverse_inertia_[i];
            for (std::size_t o = tie.first; o < tie.last; ++o) {
                const std::size_t at = ends_[o].place * width_ + i;
                k_[at] += scale * tie.spring * ends_[o].factor;
                c_[at] += scale * tie.damping * ends_[o].factor;
            }
        }
    }
}

/// Gershgorin's bound of the matrices made symmetric by the roots of the inertias.
void CoreMotion::find_quickest() {
    double* const k = lanes_.data();
    double* const c = k + width_;
    std::fill_n(k, 2 * width_, 0.0);
    for (const Tie& tie : ties_) {
        double sum = 0.0;
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            sum += std::abs(ends_[e].factor) * std::sqrt(inverse_inertia_[ends_[e].place]);
        }
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            const std::size_t i = ends_[e].place;
            const double own = std::abs(ends_[e].factor) * std::sqrt(inverse_inertia_[i]) * sum;
            k[i] += own * tie.spring;
            c[i] += own * tie.damping;
        }
    }
    const double stiffest = *std::max_element(k, k + width_);
    quickest_ = std::max(std::sqrt(stiffest), *std::max_element(c, c + width_));
}

double CoreMotion::quickest_input(std::span<const double> speed) const {
    double quickest = 0.0;
    for (const Feed& feed : inputs_) {
        quickest = std::max(quickest, feed.series.quickest(feed.speed + speed[feed.mass]));
    }
    return quickest;
}

void CoreMotion::begin(double t, double h, std::span<const double> angle,
                       std::span<const double> speed, double speed_scale) {
    h_ = h;
    std::fill_n(theta_.begin(), width_, 0.0);
    std::fill_n(omega_.begin(), width_, 0.0);
    for (std::size_t i = 0; i < masses_.size(); ++i) {
        theta_[i] = angle[masses_[i]];
        omega_[i] = speed[masses_[i]];
    }
    // Uniform rotation may have been turned on beyond the time: angles deviate from that.
    const double clock = t + stacked_->turn();
    for (std::size_t i = 0; i < width_; ++i) alpha_[i] = d0_[i] + d_drift_[i] * clock;
    for (Feed& feed : inputs_) {
        feed.series.begin(t, h, feed.speed * clock + angle[feed.mass],
                          feed.speed + speed[feed.mass],
                          nothing_left * speed_scale * feed.inertia / h);
    }
    for (SmoothSeries& series : smooth_) series.begin();
}

/// Torques of inputs, order k.
void CoreMotion::add_inputs(std::size_t k) {
    const std::size_t at = k * width_;
    inputs_end_ = 0;
    for (Feed& feed : inputs_) {
        if (k >= feed.series.end()) continue;
        const double torque = feed.series.coefficient(k, theta_[at + feed.place]);
        alpha_[at + feed.place] += inverse_inertia_[feed.place] * torque;
        inputs_end_ = std::max(inputs_end_, feed.series.end());
    }
}

/// Torques of smooth laws, order k.
void CoreMotion::add_smooth(std::size_t k) {
    const Driveline& line = stacked_->line();
    double* const alpha = &alpha_[k * width_];
    const auto speed = [&](int mass) {
        const double own = omega_[k * width_ + place(static_cast<std::size_t>(mass))];
        return k == 0 ? own + line.masses[static_cast<std::size_t>(mass)].reference_speed : own;
    };
    for (std::size_t s = 0; s < smooth_.size(); ++s) {
        const SmoothBranch& branch = line.smooth[s];
        double rate = 0.0;
        for (const RowEntry& entry : branch.row) rate += entry.factor * speed(entry.inertia);
        const double torque = smooth_[s].coefficient(k, rate, speed(branch.reference));
        for (const RowEntry& entry : branch.row) {
            const std::size_t i = place(static_cast<std::size_t>(entry.inertia));
            alpha[i] -= entry.factor * inverse_inertia_[i] * torque;
        }
    }
}

/// α −= K·θ + C·ω of order k, element by element.
void CoreMotion::add_ties(std::size_t k) {
    const double* const theta = &theta_[k * width_];
    const double* const omega = &omega_[k * width_];
    double* const alpha = &alpha_[k * width_];
    for (const Tie& tie : ties_) {
        double twist = 0.0, rate = 0.0;
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            twist += ends_[e].factor * theta[ends_[e].place];
            rate += ends_[e].factor * omega[ends_[e].place];
        }
        const double torque = tie.spring * twist + tie.damping * rate;
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            const std::size_t i = ends_[e].place;
            alpha[i] -= ends_[e].factor * inverse_inertia_[i] * torque;
        }
    }
}

/// Order k of the motion and of what pulls at it; returns its largest |ω|.
double CoreMotion::next_order(std::size_t k) {
    const double f = h_ * one_over[k];
    const std::size_t here = k * width_;
    const std::size_t before = here - width_;
    double largest = 0.0;
    if (dense_) {
        const auto advance = width_ == 4 ? kernel_->advance4 : kernel_->advance8;
        largest =
            advance(k_.data(), c_.data(), static_cast<int>(masses_.size()), f, &omega_[before],
                    &alpha_[before], &theta_[here], &omega_[here], &alpha_[here]);
    } else {
        for (std::size_t i = 0; i < width_; ++i) {
            theta_[here + i] = f * omega_[before + i];
            omega_[here + i] = f * alpha_[before + i];
            alpha_[here + i] = 0.0;
            largest = std::max(largest, std::abs(omega_[here + i]));
        }
        add_ties(k);
    }
    if (k == 1) {
        for (std::size_t i = 0; i < width_; ++i) alpha_[here + i] += d_drift_[i] * h_;
    }
    if (k < inputs_end_) add_inputs(k);
    if (!smooth_.empty()) add_smooth(k);
    return largest;
}

double CoreMotion::expand(double t, double h, std::span<const double> angle,
                          std::span<const double> speed, double speed_scale) {
    const double asked = h;
    while (true) {
        // What is left up to the end of the run may be shorter than that.
        if (!(h > shortest_step) && !(h == asked && h > 0.0)) beyond_bounds(t);
        begin(t, h, angle, speed, speed_scale);
        if (dense_) {
            kernel_->accelerate(k_.data(), c_.data(), static_cast<int>(masses_.size()),
                                static_cast<int>(width_), theta_.data(), omega_.data(),
                                alpha_.data());
        } else {
            add_ties(0);
        }
        add_inputs(0);
        add_smooth(0);
        const double negligible = nothing_left * speed_scale;
        std::size_t quiet = 0;
        std::size_t k = 1;
        for (; k <= most_orders && (quiet < 2 || k < inputs_end_); ++k) {
            quiet = next_order(k) <= negligible && k > 2 ? quiet + 1 : 0;
        }
        orders_ = k - 1;
        const auto work = dense_ ? 2 * masses_.size() * width_ : 4 * ends_.size();
        multiply_adds_ += static_cast<std::int64_t>(orders_ * work);
        // Not complete: a shorter stretch needs fewer orders. A kink of a smooth law: step up to
        // it.
        const bool one_piece =
            h <= kink_step || std::all_of(smooth_.begin(), smooth_.end(),
                                          [](const SmoothSeries& s) { return s.stays(); });
        if (quiet >= 2 && one_piece && k >= inputs_end_) break;
        h *= 0.5;
    }
    kernel_->slope_bounds(omega_.data(), static_cast<int>(orders_), static_cast<int>(width_),
                          bound_.data());
    kernel_->transpose(theta_.data(), static_cast<int>(orders_), static_cast<int>(width_),
                       static_cast<int>(stride), turned_.data());
    double sum = 0.0;
    for (std::size_t i = 0; i < width_; ++i) {
        bound_[i] /= h_;
        sum += bound_[i];
    }
    if (!std::isfinite(sum)) beyond_bounds(t);
    return h_;
}

void CoreMotion::scatter(const double* lanes, std::span<double> out) const {
    for (std::size_t i = 0; i < masses_.size(); ++i) out[masses_[i]] = lanes[i];
}

void CoreMotion::at(double s, std::span<double> angle, std::span<double> speed) const {
    const int orders = static_cast<int>(orders_);
    const int width = static_cast<int>(width_);
    kernel_->values(theta_.data(), orders, width, s, lanes_.data());
    scatter(lanes_.data(), angle);
    kernel_->values(omega_.data(), orders, width, s, lanes_.data());
    scatter(lanes_.data(), speed);
}

void CoreMotion::acceleration_at(double s, std::span<double> acceleration) const {
    // α's own coefficients; the last one is that of an order whose speed is nothing.
    kernel_->values(alpha_.data(), static_cast<int>(orders_) - 1, static_cast<int>(width_), s,
                    lanes_.data());
    scatter(lanes_.data(), acceleration);
}

void CoreMotion::speeds_at(std::span<const double> s, std::span<double> out) const {
    kernel_->values_at_many(omega_.data(), static_cast<int>(orders_), static_cast<int>(width_),
                            static_cast<int>(masses_.size()), s.data(), static_cast<int>(s.size()),
                            out.data());
}

}  // namespace damper
