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
        if (input.leans()) {
            Feed& feed = inputs_.back();
            feed.against = input.reaction.inertia;
            feed.factor = input.reaction.factor;
            feed.speed +=
                feed.factor * line.masses[static_cast<std::size_t>(feed.against)].reference_speed;
        }
    }
    for (const SmoothBranch& branch : line.smooth) smooth_.emplace_back(branch.law);
    for (const FaceBranch& faces : line.faces) faces_.emplace_back(line, faces);
    rubbing_.assign(line.faces.size(), Rubbing::sticking);
    const std::size_t n = line.masses.size();
    // Every second inertia may have a block of its own.
    const std::size_t widest = (n + 3) / 4 * 4 + 4 * (n / 2 + 1);
    place_.assign(n, -1);
    hangs_on_.assign(n, -1);
    elements_.assign(n, 0);
    fixed_.assign(n, 0);
    for (const Input& input : line.inputs) {
        for (const RowEntry& entry : input.row())
            fixed_[static_cast<std::size_t>(entry.inertia)] = 1;
    }
    for (const SmoothBranch& branch : line.smooth) {
        fixed_[static_cast<std::size_t>(branch.reference)] = 1;
        for (const RowEntry& entry : branch.row) {
            fixed_[static_cast<std::size_t>(entry.inertia)] = 1;
        }
    }
    for (const FaceBranch& faces : line.faces) {
        for (const RowEntry& entry : faces.row) fixed_[static_cast<std::size_t>(entry.inertia)] = 1;
        for (const FaceModulation& one : faces.modulations) {
            for (const RowEntry& entry : one.row) {
                fixed_[static_cast<std::size_t>(entry.inertia)] = 1;
            }
        }
    }
    lane_.reserve(widest);
    centre_.reserve(widest / 4);
    centre_inverse_.reserve(widest / 4);
    leaves_.reserve(widest / 4 * CoreShape::block_size);
    branches_.reserve(line.branches.size());
    ties_.reserve(line.branches.size());
    std::size_t ends = 0;
    for (const Branch& branch : line.branches) ends += branch.row.size();
    ends_.reserve(ends);
    k_.resize(dense_at_most * dense_at_most);
    c_.resize(dense_at_most * dense_at_most);
    for (auto* v : {&inverse_inertia_, &root_inverse_, &d0_, &d_drift_, &bound_, &lanes_,
                    &quickest_k_, &quickest_c_}) {
        v->resize(widest);
    }
    turned_.resize(widest * stride);
    for (auto* v : {&theta_, &omega_, &alpha_}) v->resize((most_orders + 1) * widest);
}

double CoreMotion::quickest_input(std::span<const double> speed) const {
    double quickest = 0.0;
    for (const Feed& feed : inputs_) {
        quickest = std::max(quickest, feed.series.quickest(feed.speed + feed.along(speed)));
    }
    for (const FaceSeries& series : faces_) quickest = std::max(quickest, series.quickest(speed));
    return quickest;
}

void CoreMotion::begin(double t, double h, std::span<const double> angle,
                       std::span<const double> speed, double speed_scale) {
    h_ = h;
    std::fill_n(theta_.begin(), width_, 0.0);
    std::fill_n(omega_.begin(), width_, 0.0);
    for (std::size_t i = 0; i < width_; ++i) {
        if (lane_[i] < 0) continue;
        theta_[i] = angle[static_cast<std::size_t>(lane_[i])];
        omega_[i] = speed[static_cast<std::size_t>(lane_[i])];
    }
    // Uniform rotation may have been turned on beyond the time: angles deviate from that.
    const double clock = t + stacked_->turn();
    for (std::size_t i = 0; i < width_; ++i) alpha_[i] = d0_[i] + d_drift_[i] * clock;
    for (Feed& feed : inputs_) {
        feed.series.begin(t, h, feed.speed * clock + feed.along(angle),
                          feed.speed + feed.along(speed),
                          nothing_left * speed_scale * feed.inertia / h);
    }
    for (SmoothSeries& series : smooth_) series.begin();
    for (std::size_t f = 0; f < faces_.size(); ++f) {
        const double reduced = stacked_->line().faces[f].reduced_inertia(stacked_->line().masses);
        faces_[f].begin(t, h, clock, rubbing_[f], nothing_left * speed_scale * reduced / h);
    }
}

/// Torques of inputs, order k.
void CoreMotion::add_inputs(std::size_t k) {
    const std::size_t at = k * width_;
    inputs_end_ = 0;
    for (Feed& feed : inputs_) {
        if (k >= feed.series.end()) continue;
        double theta = theta_[at + feed.place];
        double omega = omega_[at + feed.place];
        if (feed.against >= 0) {
            theta += feed.factor * theta_[at + feed.against_place];
            omega += feed.factor * omega_[at + feed.against_place];
        }
        const double torque = feed.series.coefficient(k, theta, omega);
        alpha_[at + feed.place] += inverse_inertia_[feed.place] * torque;
        if (feed.against >= 0) {
            alpha_[at + feed.against_place] +=
                feed.factor * inverse_inertia_[feed.against_place] * torque;
        }
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

/// Torques of rubbing faces, order k: last, since what stuck faces hold is all the rest.
void CoreMotion::add_faces(std::size_t k) {
    const Driveline& line = stacked_->line();
    const auto at = [&](int mass) { return k * width_ + place(static_cast<std::size_t>(mass)); };
    for (std::size_t f = 0; f < faces_.size(); ++f) {
        faces_[f].next(
            k, [&](int mass) { return theta_[at(mass)]; },
            [&](int mass) { return omega_[at(mass)]; });
        double pull = 0.0;
        for (const RowEntry& entry : line.faces[f].row) {
            pull += entry.factor * alpha_[at(entry.inertia)];
        }
        const double torque = faces_[f].torque(k, pull);
        for (const RowEntry& entry : line.faces[f].row) {
            const std::size_t i = place(static_cast<std::size_t>(entry.inertia));
            alpha_[k * width_ + i] -= entry.factor * inverse_inertia_[i] * torque;
        }
    }
}

/// α −= K·θ + C·ω of order k, element by element.
void CoreMotion::add_ties(std::size_t k) {
    const double* const theta = &theta_[k * width_];
    const double* const omega = &omega_[k * width_];
    double* const alpha = &alpha_[k * width_];
    for (const Tie& tie : ties_) {
        if (tie.last == tie.first + 2) {  // nearly all: a spring from one inertia to another
            const End& a = ends_[tie.first];
            const End& b = ends_[tie.first + 1];
            const double twist = a.factor * theta[a.place] + b.factor * theta[b.place];
            const double rate = a.factor * omega[a.place] + b.factor * omega[b.place];
            const double torque = tie.spring * twist + tie.damping * rate;
            alpha[a.place] -= a.pull * torque;
            alpha[b.place] -= b.pull * torque;
            continue;
        }
        double twist = 0.0, rate = 0.0;
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            twist += ends_[e].factor * theta[ends_[e].place];
            rate += ends_[e].factor * omega[ends_[e].place];
        }
        const double torque = tie.spring * twist + tie.damping * rate;
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            alpha[ends_[e].place] -= ends_[e].pull * torque;
        }
    }
}

/// Order k of the motion and of what pulls at it; returns its largest |ω|.
double CoreMotion::next_order(std::size_t k) {
    const double f = h_ * one_over[k];
    const std::size_t here = k * width_;
    const std::size_t before = here - width_;
    const double largest =
        kernel_->advance(shape_, static_cast<int>(width_), f, &omega_[before], &alpha_[before],
                         &theta_[here], &omega_[here], &alpha_[here]);
    if (shape_.trunk_width == 0) add_ties(k);
    if (k == 1) {
        for (std::size_t i = 0; i < width_; ++i) alpha_[here + i] += d_drift_[i] * h_;
    }
    if (k < inputs_end_) add_inputs(k);
    if (!smooth_.empty()) add_smooth(k);
    if (!faces_.empty()) add_faces(k);
    return largest;
}

double CoreMotion::expand(double t, double h, std::span<const double> angle,
                          std::span<const double> speed, double speed_scale) {
    const double asked = h;
    while (true) {
        // What is left up to the end of the run may be shorter than that.
        if (!(h > shortest_step) && !(h == asked && h > 0.0)) beyond_bounds(t);
        begin(t, h, angle, speed, speed_scale);
        kernel_->accelerate(shape_, theta_.data(), omega_.data(), alpha_.data());
        if (shape_.trunk_width == 0) add_ties(0);
        add_inputs(0);
        add_smooth(0);
        add_faces(0);
        const double negligible = nothing_left * speed_scale;
        std::size_t quiet = 0;
        std::size_t k = 1;
        const auto limits_known = [&] {
            return std::all_of(faces_.begin(), faces_.end(),
                               [](const FaceSeries& faces) { return faces.complete(); });
        };
        for (; k <= most_orders && (quiet < 2 || k < inputs_end_ || !limits_known()); ++k) {
            top_[k] = next_order(k);
            quiet = top_[k] <= negligible && k > 2 ? quiet + 1 : 0;
        }
        orders_ = k - 1;
        const auto trunk =
            shape_.trunk_width > 0
                ? static_cast<std::size_t>(2 * shape_.trunk_columns * shape_.trunk_width)
                : 4 * ends_.size();
        const auto work = trunk + 44 * static_cast<std::size_t>(shape_.blocks) + 2 * width_;
        multiply_adds_ += static_cast<std::int64_t>(orders_ * work);
        // Not complete: a shorter stretch needs fewer orders. A kink of a smooth law: step up to
        // it.
        const bool one_piece =
            h <= kink_step || (std::all_of(smooth_.begin(), smooth_.end(),
                                           [](const SmoothSeries& s) { return s.stays(); }) &&
                               std::all_of(faces_.begin(), faces_.end(),
                                           [](const FaceSeries& f) { return f.stays(); }) &&
                               std::all_of(inputs_.begin(), inputs_.end(),
                                           [](const Feed& feed) { return feed.series.stays(); }));
        if (quiet >= 2 && one_piece && k >= inputs_end_ && limits_known()) break;
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
    for (std::size_t i = 0; i < width_; ++i) {
        if (lane_[i] >= 0) out[static_cast<std::size_t>(lane_[i])] = lanes[i];
    }
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
                            static_cast<int>(width_), s.data(), static_cast<int>(s.size()),
                            out.data());
}

}  // namespace damper
