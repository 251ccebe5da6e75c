// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/variation.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/kernel.hpp"
#include "libdamper/solvers/exact/one_over.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

constexpr double phase_per_step = 10.0;  // rad of the quickest motion, bounded from above
constexpr std::size_t most_orders = 64;
constexpr std::size_t orders_before_looking = 4;
constexpr double negligible = 1e-17;    // of the largest coefficient of a slope
constexpr double nothing_left = 1e-13;  // of the largest rate in the step
constexpr double grazing = 1e-9;        // of a guard's own terms: its rate when it is met

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

/// A power series in s seen from `from` on, in units of `scale`, without what is negligible.
void see_from(std::span<const double> c, double from, double scale, std::vector<double>& out) {
    out.assign(c.begin(), c.end());
    for (std::size_t i = 0; from != 0.0 && i < out.size(); ++i) {  // Horner's scheme over and over
        for (std::size_t k = out.size() - 1; k-- > i;) out[k] += from * out[k + 1];
    }
    double factor = 1.0;
    double largest = 0.0;
    for (double& v : out) {
        v *= factor;
        factor *= scale;
        largest = std::max(largest, std::abs(v));
    }
    while (!out.empty() && std::abs(out.back()) <= negligible * largest) out.pop_back();
}

/// The largest magnitude of rows whose number of columns is a multiple of four.
double largest_of(const std::vector<double>& rows) {
    double top[4] = {};
    for (std::size_t i = 0; i < rows.size(); i += 4) {
        for (std::size_t lane = 0; lane < 4; ++lane) {
            const double v = std::abs(rows[i + lane]);
            top[lane] = v > top[lane] ? v : top[lane];
        }
    }
    return std::max(std::max(top[0], top[1]), std::max(top[2], top[3]));
}

}  // namespace

Variation::Variation(const Driveline& line, Eigen::MatrixXd start)
    : kernel_(best_kernel()),
      line_(line),
      n_(static_cast<Eigen::Index>(line.masses.size())),
      parts_(static_cast<Eigen::Index>(line.part_count())),
      probe_(line),
      x_(std::move(start)),
      columns_(static_cast<std::size_t>(x_.cols())),
      width_((columns_ + 3) / 4 * 4),
      input_rows_(line.inputs.size()),
      slopes_(line.inputs.size()),
      has_switched_(line.part_count(), false) {
    if (!line.smooth.empty()) {
        throw ModelError(
            fmt::format("neighbouring motions cannot be followed past \"{}\", which is "
                        "not piecewise linear",
                        line.smooth.front().name));
    }
    if (!line.faces.empty()) {
        throw ModelError(
            fmt::format("neighbouring motions cannot be followed past the rubbing "
                        "faces of \"{}\"",
                        line.faces.front().name));
    }
    if (x_.rows() != 2 * n_ + parts_) {
        throw ModelError("a variation has a row for every angle, speed and memory");
    }
    for (std::vector<double>& rows : input_rows_) rows.resize(most_orders * width_);
    for (std::vector<double>* rows : {&theta_, &omega_, &alpha_, &theta_sum_, &omega_sum_}) {
        rows->resize(line.masses.size() * width_);
    }
    spring_.resize(line.masses.size() * line.masses.size());
    damping_ = spring_;
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

/// Takes the laws of the move's modes; returns a bound of the quickest motion [rad/s].
double Variation::take_laws(const Move& move) {
    const std::size_t n = line_.masses.size();
    std::fill(spring_.begin(), spring_.end(), 0.0);
    std::fill(damping_.begin(), damping_.end(), 0.0);
    for (std::size_t b = 0; b < line_.branches.size(); ++b) {
        const Stacked::BranchNow& now = move.stacked.branches()[b];
        for (const RowEntry& i : line_.branches[b].row) {
            const double scale = i.factor / line_.masses[index(i.inertia)].inertia;
            for (const RowEntry& j : line_.branches[b].row) {
                const std::size_t at = index(i.inertia) * n + index(j.inertia);
                spring_[at] += scale * now.spring * j.factor;
                damping_[at] += scale * now.damping * j.factor;
            }
        }
    }
    moved_by_.clear();
    double stiff = 0.0;
    double damped = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        MovedBy by{.inertia = i, .first = n, .last = 0};
        double spring = 0.0;
        double damping = 0.0;
        for (std::size_t j = 0; j < n; ++j) {
            spring += std::abs(spring_[i * n + j]);
            damping += std::abs(damping_[i * n + j]);
            if (spring_[i * n + j] == 0.0 && damping_[i * n + j] == 0.0) continue;
            by.first = std::min(by.first, j);
            by.last = j;
        }
        stiff = std::max(stiff, spring);
        damped = std::max(damped, damping);
        if (by.first < n) moved_by_.push_back(by);
    }
    return std::max(std::sqrt(stiff), damped);
}

/// What memories add to the accelerations: constant during the move.
void Variation::take_memories(const Move& move) {
    rest_.clear();
    for (std::size_t p = 0; p < move.stacked.parts().size(); ++p) {
        const Stacked::PartPlace& place = move.stacked.parts()[p];
        const Mode& mode = place.part->law.modes[index(move.state.mode[p])];
        if (mode.memory_weight == 0.0 || mode.spring == 0.0) continue;
        for (const MemorySlope& slope :
             memory_slopes(move.stacked, move.state, place.branch, place.cell)) {
            if (slope.part != p) continue;
            for (const RowEntry& i : line_.branches[place.branch].row) {
                rest_.push_back(
                    {.inertia = index(i.inertia),
                     .memory = 2 * n_ + static_cast<Eigen::Index>(p),
                     .factor = -i.factor / line_.masses[index(i.inertia)].inertia * slope.torque});
            }
        }
    }
}

void Variation::moved(const Move& move) {
    if (!(move.duration > 0.0)) return;
    const double quickest = take_laws(move);
    take_memories(move);
    const double count = std::ceil(std::max(1.0, quickest * move.duration / phase_per_step));
    const double h = move.duration / count;
    for (std::size_t i = 0; i < line_.masses.size(); ++i) {
        for (std::size_t c = 0; c < columns_; ++c) {
            const auto column = static_cast<Eigen::Index>(c);
            theta_sum_[i * width_ + c] = x_(static_cast<Eigen::Index>(i), column);
            omega_sum_[i * width_ + c] = x_(n_ + static_cast<Eigen::Index>(i), column);
        }
    }
    for (double step = 0.0; step < count; step += 1.0) {
        const double from = move.from + step * h / move.length;
        for (std::size_t u = 0; u < slopes_.size(); ++u) {
            see_from(move.input_slope[u], from, h / move.length, slopes_[u]);
        }
        carry(h);
    }
    for (std::size_t i = 0; i < line_.masses.size(); ++i) {
        for (std::size_t c = 0; c < columns_; ++c) {
            const auto column = static_cast<Eigen::Index>(c);
            x_(static_cast<Eigen::Index>(i), column) = theta_sum_[i * width_ + c];
            x_(n_ + static_cast<Eigen::Index>(i), column) = omega_sum_[i * width_ + c];
        }
    }
}

/// The accelerations of order k from angles and speeds of that order.
void Variation::accelerate(std::size_t k) {
    std::fill(alpha_.begin(), alpha_.end(), 0.0);
    const std::size_t n = line_.masses.size();
    for (const MovedBy& by : moved_by_) {
        // Rows of all columns stand where the kernel expects columns of a matrix.
        kernel_.subtract(&theta_[by.first * width_], &omega_[by.first * width_],
                         static_cast<int>(by.last + 1 - by.first), static_cast<int>(width_),
                         &spring_[by.inertia * n + by.first], &damping_[by.inertia * n + by.first],
                         &alpha_[by.inertia * width_]);
    }
    for (std::size_t u = 0; u < slopes_.size(); ++u) {
        if (slopes_[u].empty()) continue;
        const std::size_t i = index(line_.inputs[u].inertia);
        double* rows = input_rows_[u].data();
        std::copy_n(&theta_[i * width_], width_, rows + k * width_);
        const double inverse = 1.0 / line_.masses[i].inertia;
        const auto pull = [&](std::size_t mass, double factor) {
            for (std::size_t j = 0; j <= k && j < slopes_[u].size(); ++j) {
                kernel_.add_scaled(factor * slopes_[u][j], rows + (k - j) * width_,
                                   static_cast<int>(width_), &alpha_[mass * width_]);
            }
        };
        const RowEntry& reaction = line_.inputs[u].reaction;
        if (!line_.inputs[u].leans()) {
            pull(i, inverse);
            continue;
        }
        const std::size_t other = index(reaction.inertia);
        kernel_.add_scaled(reaction.factor, &theta_[other * width_], static_cast<int>(width_),
                           rows + k * width_);
        pull(i, inverse);
        pull(other, reaction.factor / line_.masses[other].inertia);
    }
}

/// One step of the variational equations, in the sums.
void Variation::carry(double h) {
    const std::size_t size = theta_.size();
    std::copy(theta_sum_.begin(), theta_sum_.end(), theta_.begin());
    std::copy(omega_sum_.begin(), omega_sum_.end(), omega_.begin());
    const double scale = std::max(largest_of(omega_), 1e-300);
    int quiet = 0;
    for (std::size_t k = 0; k + 1 < most_orders && quiet < 2; ++k) {
        accelerate(k);
        if (k == 0) {
            for (const Rest& rest : rest_) {
                for (std::size_t c = 0; c < columns_; ++c) {
                    alpha_[rest.inertia * width_ + c] +=
                        rest.factor * x_(rest.memory, static_cast<Eigen::Index>(c));
                }
            }
        }
        const double f = h * one_over[k + 1];
        for (std::size_t i = 0; i < size; ++i) {
            theta_[i] = f * omega_[i];
            omega_[i] = f * alpha_[i];
            theta_sum_[i] += theta_[i];
            omega_sum_[i] += omega_[i];
        }
        if (k < orders_before_looking) continue;
        quiet = largest_of(omega_) <= nothing_left * scale ? quiet + 1 : 0;
    }
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
