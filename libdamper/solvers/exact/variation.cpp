// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/variation.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

constexpr double phase_per_step = 5.0;  // rad of the quickest motion
constexpr std::size_t most_orders = 48;
constexpr double nothing_left = 1e-13;  // of the largest rate in the step
constexpr double grazing = 1e-9;        // of a guard's own terms: its rate when it is met

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

/// A power series in s seen from `from` on, in units of `scale`.
std::vector<double> seen_from(std::span<const double> c, double from, double scale) {
    std::vector<double> out(c.begin(), c.end());
    for (std::size_t i = 0; i < out.size(); ++i) {  // Horner's scheme over and over
        for (std::size_t k = out.size() - 1; k-- > i;) out[k] += from * out[k + 1];
    }
    double factor = 1.0;
    for (double& v : out) {
        v *= factor;
        factor *= scale;
    }
    return out;
}

}  // namespace

Variation::Variation(const Driveline& line, Eigen::MatrixXd start)
    : line_(line),
      n_(static_cast<Eigen::Index>(line.masses.size())),
      parts_(static_cast<Eigen::Index>(line.part_count())),
      probe_(line),
      x_(std::move(start)),
      input_rows_(line.inputs.size()),
      has_switched_(line.part_count(), false) {
    if (!line.smooth.empty()) {
        throw ModelError(
            fmt::format("neighbouring motions cannot be followed past \"{}\", which is "
                        "not piecewise linear",
                        line.smooth.front().name));
    }
    if (x_.rows() != 2 * n_ + parts_) {
        throw ModelError("a variation has a row for every angle, speed and memory");
    }
    for (Eigen::MatrixXd& rows : input_rows_) {
        rows.resize(static_cast<Eigen::Index>(most_orders), x_.cols());
    }
}

std::vector<Variation::MemorySlope> Variation::memory_slopes(const Stacked& stacked,
                                                             const State& state, std::size_t branch,
                                                             std::size_t cell) {
    // Torque and cell twists are affine in the memories: a difference is the derivative.
    std::vector<MemorySlope> out;
    State moved = state;
    for (std::size_t p = 0; p < stacked.parts().size(); ++p) {
        const Stacked::PartPlace& place = stacked.parts()[p];
        if (place.branch != branch || !place.part->law.has_memory) continue;
        probe_.set_branch(state, branch);
        const double offset = probe_.branches()[branch].offset;
        const double twist = probe_.cell_twist(cell, 0.0);
        moved.memory[p] = state.memory[p] + 1.0;
        probe_.set_branch(moved, branch);
        out.push_back({.part = p,
                       .torque = probe_.branches()[branch].offset - offset,
                       .cell = probe_.cell_twist(cell, 0.0) - twist});
        moved.memory[p] = state.memory[p];
    }
    return out;
}

void Variation::set_matrices(const Move& move) {
    k_.setZero(n_, n_);
    c_.setZero(n_, n_);
    m_.setZero(n_, parts_);
    for (std::size_t b = 0; b < line_.branches.size(); ++b) {
        const Stacked::BranchNow& now = move.stacked.branches()[b];
        const std::vector<RowEntry>& row = line_.branches[b].row;
        for (const RowEntry& i : row) {
            const double scale = i.factor / line_.masses[index(i.inertia)].inertia;
            for (const RowEntry& j : row) {
                k_(i.inertia, j.inertia) += scale * now.spring * j.factor;
                c_(i.inertia, j.inertia) += scale * now.damping * j.factor;
            }
        }
    }
    for (std::size_t p = 0; p < move.stacked.parts().size(); ++p) {
        const Stacked::PartPlace& place = move.stacked.parts()[p];
        const Mode& mode = place.part->law.modes[index(move.state.mode[p])];
        if (mode.memory_weight == 0.0 || mode.spring == 0.0) continue;
        for (const MemorySlope& slope :
             memory_slopes(move.stacked, move.state, place.branch, place.cell)) {
            if (slope.part != p) continue;
            for (const RowEntry& i : line_.branches[place.branch].row) {
                m_(i.inertia, static_cast<Eigen::Index>(p)) +=
                    i.factor / line_.masses[index(i.inertia)].inertia * slope.torque;
            }
        }
    }
}

void Variation::moved(const Move& move) {
    if (!(move.duration > 0.0)) return;
    set_matrices(move);
    const double stiff = std::sqrt(k_.cwiseAbs().rowwise().sum().maxCoeff());
    const double quickest = std::max(stiff, c_.cwiseAbs().rowwise().sum().maxCoeff());
    const double count = std::ceil(std::max(1.0, quickest * move.duration / phase_per_step));
    const double h = move.duration / count;
    for (double step = 0.0; step < count; step += 1.0) {
        const double from = move.from + step * h / move.length;
        std::vector<std::vector<double>> slopes;
        for (const std::span<const double> slope : move.input_slope) {
            slopes.push_back(seen_from(slope, from, h / move.length));
        }
        carry(h, slopes);
    }
}

/// One step of the variational equations.
void Variation::carry(double h, const std::vector<std::vector<double>>& slopes) {
    theta_ = x_.topRows(n_);
    omega_ = x_.middleRows(n_, n_);
    rest_.noalias() = m_ * x_.bottomRows(parts_);
    theta_sum_ = theta_;
    omega_sum_ = omega_;
    const double scale = std::max(omega_.cwiseAbs().maxCoeff(), 1e-300);
    int quiet = 0;
    for (std::size_t k = 0; k + 1 < most_orders && quiet < 2; ++k) {
        alpha_.noalias() = -k_ * theta_;
        alpha_.noalias() -= c_ * omega_;
        if (k == 0) alpha_ -= rest_;
        for (std::size_t u = 0; u < slopes.size(); ++u) {
            const int i = line_.inputs[u].inertia;
            input_rows_[u].row(static_cast<Eigen::Index>(k)) = theta_.row(i);
            const double inverse = 1.0 / line_.masses[index(i)].inertia;
            for (std::size_t j = 0; j <= k && j < slopes[u].size(); ++j) {
                alpha_.row(i) +=
                    inverse * slopes[u][j] * input_rows_[u].row(static_cast<Eigen::Index>(k - j));
            }
        }
        const double f = h * one_over[k + 1];
        theta_ = f * omega_;
        omega_ = f * alpha_;
        theta_sum_ += theta_;
        omega_sum_ += omega_;
        const double largest = omega_.cwiseAbs().maxCoeff();
        quiet = k > 2 && largest <= nothing_left * scale ? quiet + 1 : 0;
    }
    x_.topRows(n_) = theta_sum_;
    x_.middleRows(n_, n_) = omega_sum_;
}

Eigen::RowVectorXd Variation::along(std::size_t branch, Eigen::Index first) const {
    Eigen::RowVectorXd sum = Eigen::RowVectorXd::Zero(x_.cols());
    for (const RowEntry& entry : line_.branches[branch].row) {
        sum += entry.factor * x_.row(first + entry.inertia);
    }
    return sum;
}

void Variation::before_switch(const Instant& instant) {
    const Stacked::GuardNow& guard = instant.guard;
    const Stacked::PartPlace& place = instant.stacked.parts()[guard.part];
    const Mode& mode = place.part->law.modes[index(instant.state.mode[guard.part])];
    const Guard& rule = mode.guards[guard.index];
    const double factor =
        instant.stacked.cell_twist(place.cell, 1.0) - instant.stacked.cell_twist(place.cell, 0.0);

    const Eigen::RowVectorXd twist = along(guard.branch, 0);
    const Eigen::RowVectorXd rate = along(guard.branch, n_);
    Eigen::RowVectorXd own = factor * twist;  // twist of the part's cell
    for (const MemorySlope& slope :
         memory_slopes(instant.stacked, instant.state, guard.branch, place.cell)) {
        own += slope.cell * x_.row(2 * n_ + static_cast<Eigen::Index>(slope.part));
    }
    const Eigen::RowVectorXd memory = x_.row(2 * n_ + static_cast<Eigen::Index>(guard.part));
    const Eigen::RowVectorXd value =
        rule.value.twist * own + guard.rate * rate + rule.value.memory * memory;
    const double falling = guard.twist * instant.rate + guard.rate * instant.acceleration;
    const double size =
        std::abs(guard.twist * instant.rate) + std::abs(guard.rate * instant.acceleration);
    if (!(falling < -grazing * size) || size == 0.0) {
        grazed_ = true;
        shift_.setZero(x_.cols());
    } else {
        shift_ = value / -falling;
    }
    resets_ = rule.resets;
    if (resets_) {
        memory_ =
            rule.reset.twist * (own + factor * instant.rate * shift_) + rule.reset.memory * memory;
    }
    torque_before_ = instant.torque;
    has_switched_[guard.part] = true;
}

void Variation::after_switch(const Instant& instant) {
    const double jump = instant.torque - torque_before_;
    for (const RowEntry& entry : line_.branches[instant.guard.branch].row) {
        const double inertia = line_.masses[index(entry.inertia)].inertia;
        x_.row(n_ + entry.inertia) += entry.factor * jump / inertia * shift_;
    }
    if (resets_) x_.row(2 * n_ + static_cast<Eigen::Index>(instant.guard.part)) = memory_;
}

}  // namespace damper
