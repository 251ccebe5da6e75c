// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/equations.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

Equations::Equations(const Driveline& line, const Stacked& stacked, const State& state)
    : line_(&line), stacked_(&stacked), state_(&state), n_(line.masses.size()) {
    smooth_heat_ = 2 * n_ + line.branches.size();
    work_ = smooth_heat_ + line.smooth.size();
    size_ = work_ + line.inputs.size();
    const auto parts = stacked.parts();
    impulse_of_part_.assign(parts.size(), 0);
    contact_part_of_branch_.assign(line.branches.size(), parts.size());
    for (std::size_t p = 0; p < parts.size(); ++p) {
        if (!parts[p].part->law.counts_impacts) continue;
        impulse_of_part_[p] = size_++;
        contact_part_of_branch_[parts[p].branch] = p;
    }
}

void Equations::operator()(const std::vector<double>& y, std::vector<double>& slope,
                           double t) const {
    ++evaluations_;
    std::fill(slope.begin(), slope.end(), 0.0);
    const std::span<const double> angle(y.data(), n_);
    const std::span<const double> speed(y.data() + n_, n_);
    std::copy(speed.begin(), speed.end(), slope.begin());
    add_branches(angle, speed, t, slope);
    add_smooth(speed, slope);
    add_inputs(angle, speed, t, slope);
    for (std::size_t i = 0; i < n_; ++i) slope[n_ + i] /= line_->masses[i].inertia;
}

void Equations::add_branches(std::span<const double> angle, std::span<const double> speed, double t,
                             std::vector<double>& slope) const {
    for (std::size_t b = 0; b < line_->branches.size(); ++b) {
        const double delta = stacked_->twist(b, t, angle);
        const double rate = stacked_->rate(b, speed);
        const double tau = stacked_->torque(b, delta, rate);
        for (const RowEntry& entry : line_->branches[b].row) {
            slope[n_ + static_cast<std::size_t>(entry.inertia)] -= entry.factor * tau;
        }
        slope[heat_at(b)] = stacked_->heating(b, *state_, rate);
        const std::size_t part = contact_part_of_branch_[b];
        if (part < impulse_of_part_.size()) slope[impulse_of_part_[part]] = std::abs(tau);
    }
}

void Equations::add_smooth(std::span<const double> speed, std::vector<double>& slope) const {
    for (std::size_t s = 0; s < line_->smooth.size(); ++s) {
        const SmoothBranch& branch = line_->smooth[s];
        double rate = 0.0;
        for (const RowEntry& entry : branch.row) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            rate += entry.factor * (line_->masses[i].reference_speed + speed[i]);
        }
        const auto r = static_cast<std::size_t>(branch.reference);
        const double tau =
            damper::torque(branch.law, rate, line_->masses[r].reference_speed + speed[r]);
        for (const RowEntry& entry : branch.row) {
            slope[n_ + static_cast<std::size_t>(entry.inertia)] -= entry.factor * tau;
        }
        slope[smooth_heat_at(s)] = tau * rate;
    }
}

void Equations::add_inputs(std::span<const double> angle, std::span<const double> speed, double t,
                           std::vector<double>& slope) const {
    for (std::size_t u = 0; u < line_->inputs.size(); ++u) {
        const auto i = static_cast<std::size_t>(line_->inputs[u].inertia);
        const double reference = line_->masses[i].reference_speed;
        const double tau = damper::torque(line_->inputs[u].source, t,
                                          reference * (t + stacked_->turn()) + angle[i]);
        slope[n_ + i] += tau;
        slope[work_at(u)] = tau * (reference + speed[i]);
    }
}

void Equations::inputs(std::span<const double> angle, double t, std::span<double> out) const {
    for (std::size_t u = 0; u < line_->inputs.size(); ++u) {
        const auto i = static_cast<std::size_t>(line_->inputs[u].inertia);
        out[u] =
            damper::torque(line_->inputs[u].source, t,
                           line_->masses[i].reference_speed * (t + stacked_->turn()) + angle[i]);
    }
}

}  // namespace damper
