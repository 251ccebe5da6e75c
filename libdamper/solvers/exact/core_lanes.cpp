// SPDX-License-Identifier: MIT
// Which lane of the core an inertia has, and the coefficients of what holds the lanes together.
#include "libdamper/solvers/exact/core_motion.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr std::size_t few = 4;  // inertias that are all trunk

}  // namespace

bool CoreMotion::is_coupled(std::size_t branch) const {
    const Stacked::BranchNow& now = stacked_->branches()[branch];
    return now.spring != 0.0 || now.damping != 0.0;
}

void CoreMotion::choose(std::span<const std::size_t> masses,
                        std::span<const std::size_t> branches) {
    branches_.assign(branches.begin(), branches.end());
    sort_into_lanes(masses);
    std::fill_n(inverse_inertia_.begin(), width_, 0.0);
    std::fill_n(root_inverse_.begin(), width_, 0.0);
    for (std::size_t i = 0; i < width_; ++i) {
        if (lane_[i] < 0) continue;
        inverse_inertia_[i] =
            1.0 / stacked_->line().masses[static_cast<std::size_t>(lane_[i])].inertia;
        root_inverse_[i] = std::sqrt(inverse_inertia_[i]);
    }
    for (Feed& feed : inputs_) {
        feed.place = place(feed.mass);
        if (feed.against >= 0) feed.against_place = place(static_cast<std::size_t>(feed.against));
    }
    centre_inverse_.clear();
    for (const int centre : centre_) {
        centre_inverse_.push_back(inverse_inertia_[static_cast<std::size_t>(centre)]);
    }
    shape_.k = k_.data();
    shape_.c = c_.data();
    shape_.leaves = leaves_.data();
    shape_.centre = centre_.data();
    shape_.centre_inverse = centre_inverse_.data();
    refresh();
}

void CoreMotion::take_lane(std::size_t mass) {
    place_[mass] = static_cast<int>(lane_.size());
    lane_.push_back(static_cast<int>(mass));
}

/// Trunk first, then the leaves of each of its inertias in blocks of four.
void CoreMotion::sort_into_lanes(std::span<const std::size_t> masses) {
    std::fill(place_.begin(), place_.end(), -1);
    std::fill(hangs_on_.begin(), hangs_on_.end(), -1);
    lane_.clear();
    centre_.clear();
    const auto& rows = stacked_->line().branches;
    if (masses.size() > few) {
        std::fill(elements_.begin(), elements_.end(), 0);
        for (const std::size_t b : branches_) {
            if (!is_coupled(b) || rows[b].row.size() < 2) continue;
            for (const RowEntry& e : rows[b].row) ++elements_[static_cast<std::size_t>(e.inertia)];
        }
        for (const std::size_t b : branches_) {
            if (!is_coupled(b) || rows[b].row.size() != 2) continue;
            const auto first = static_cast<std::size_t>(rows[b].row[0].inertia);
            const auto second = static_cast<std::size_t>(rows[b].row[1].inertia);
            for (const bool second_first : {true, false}) {
                const std::size_t leaf = second_first ? second : first;
                const std::size_t centre = second_first ? first : second;
                if (leaf == centre || elements_[leaf] != 1 || fixed_[leaf] != 0) continue;
                hangs_on_[leaf] = static_cast<int>(centre);
                break;
            }
        }
    }
    for (const std::size_t i : masses) {
        if (hangs_on_[i] < 0) take_lane(i);
    }
    const std::size_t trunk = lane_.size();
    lane_.resize(std::max<std::size_t>((trunk + 3) / 4 * 4, 4), -1);
    shape_.trunk_columns = trunk <= dense_at_most ? static_cast<int>(trunk) : 0;
    shape_.trunk_width = trunk <= dense_at_most ? static_cast<int>(lane_.size()) : 0;
    shape_.first_leaf = static_cast<int>(lane_.size());
    for (std::size_t c = 0; c < trunk; ++c) {
        std::size_t count = 0;
        for (const std::size_t i : masses) {
            if (hangs_on_[i] != lane_[c]) continue;
            if (count++ % 4 == 0) centre_.push_back(static_cast<int>(c));
            take_lane(i);
        }
        lane_.resize((lane_.size() + 3) / 4 * 4, -1);
    }
    shape_.blocks = static_cast<int>(centre_.size());
    width_ = lane_.size();
    leaves_.resize(centre_.size() * CoreShape::block_size);
}

void CoreMotion::refresh() {
    ties_.clear();
    ends_.clear();
    for (auto* v : {&d0_, &d_drift_, &quickest_k_, &quickest_c_})
        std::fill_n(v->begin(), width_, 0.0);
    std::fill(leaves_.begin(), leaves_.end(), 0.0);
    for (std::size_t b = 0; b < centre_.size(); ++b) {
        const std::size_t lane = static_cast<std::size_t>(shape_.first_leaf) + 4 * b;
        std::copy_n(&inverse_inertia_[lane], 4, &leaves_[b * CoreShape::block_size + 24]);
    }
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
            ends_.push_back({at, entry.factor, scale});
        }
        const Tie tie{now.spring, now.damping, first, ends_.size()};
        if (!is_coupled(b)) {
            ends_.resize(first);
            continue;
        }
        add_quickest(tie);
        const auto is_leaf = [&](const End& end) {
            return end.place >= static_cast<std::size_t>(shape_.first_leaf);
        };
        if (std::any_of(ends_.begin() + static_cast<std::ptrdiff_t>(first), ends_.end(), is_leaf)) {
            set_leaf(tie);
            ends_.resize(first);
        } else {
            ties_.push_back(tie);
        }
    }
    if (shape_.trunk_width > 0) fill_matrices();
    const double stiffest = *std::max_element(
        quickest_k_.begin(), quickest_k_.begin() + static_cast<std::ptrdiff_t>(width_));
    const double most_damped = *std::max_element(
        quickest_c_.begin(), quickest_c_.begin() + static_cast<std::ptrdiff_t>(width_));
    quickest_ = std::max(std::sqrt(stiffest), most_damped);
}

/// An element between a leaf and its centre, or between a leaf and the ground.
void CoreMotion::set_leaf(const Tie& tie) {
    const auto first = static_cast<std::size_t>(shape_.first_leaf);
    std::size_t leaf = tie.first;
    if (ends_[leaf].place < first) ++leaf;
    const std::size_t lane = ends_[leaf].place - first;
    double* const own = &leaves_[lane / 4 * CoreShape::block_size + lane % 4];
    if (tie.last - tie.first == 1) {
        const double square = ends_[leaf].factor * ends_[leaf].factor;
        own[16] += square * tie.spring;
        own[20] += square * tie.damping;
        return;
    }
    own[0] = ends_[leaf == tie.first ? tie.first + 1 : tie.first].factor;
    own[4] = ends_[leaf].factor;
    own[8] = tie.spring;
    own[12] = tie.damping;
}

void CoreMotion::fill_matrices() {
    const auto wide = static_cast<std::size_t>(shape_.trunk_width);
    const std::size_t size = static_cast<std::size_t>(shape_.trunk_columns) * wide;
    std::fill_n(k_.begin(), size, 0.0);
    std::fill_n(c_.begin(), size, 0.0);
    for (const Tie& tie : ties_) {
        for (std::size_t e = tie.first; e < tie.last; ++e) {
            const std::size_t i = ends_[e].place;
            const double scale = ends_[e].factor * inverse_inertia_[i];
            for (std::size_t o = tie.first; o < tie.last; ++o) {
                const std::size_t at = ends_[o].place * wide + i;
                k_[at] += scale * tie.spring * ends_[o].factor;
                c_[at] += scale * tie.damping * ends_[o].factor;
            }
        }
    }
}

/// Adds to Gershgorin's bound of the matrices made symmetric by the roots of the inertias.
void CoreMotion::add_quickest(const Tie& tie) {
    double sum = 0.0;
    for (std::size_t e = tie.first; e < tie.last; ++e) {
        sum += std::abs(ends_[e].factor) * root_inverse_[ends_[e].place];
    }
    for (std::size_t e = tie.first; e < tie.last; ++e) {
        const std::size_t i = ends_[e].place;
        const double own = std::abs(ends_[e].factor) * root_inverse_[i] * sum;
        quickest_k_[i] += own * tie.spring;
        quickest_c_[i] += own * tie.damping;
    }
}

}  // namespace damper
