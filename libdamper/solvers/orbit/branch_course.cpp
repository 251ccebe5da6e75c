// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/branch_course.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <utility>

namespace damper {

namespace {

constexpr int most_periods = 40;       // until modes and memories repeat
constexpr int most_switches = 4000;    // in a period
constexpr double same_memory = 1e-13;  // of the twist's swing
constexpr double same_slope = 1e-9;

Driveline alone(const Branch& branch) {
    Driveline line;
    line.masses = {{.name = "end", .inertia = 1.0, .reference_speed = 0.0}};
    line.branches = {branch};
    line.branches[0].row = {{0, 1.0}};
    return line;
}

double largest_of(const Eigen::MatrixXd& m) {
    return m.size() > 0 ? m.cwiseAbs().maxCoeff() : 0.0;
}

}  // namespace

/// One period under way.
struct BranchWalker::Pass {
    FourierBasis basis;  ///< Of the twist.
    FourierBasis fine;   ///< Of sums: three times as many harmonics.
    const Eigen::VectorXd& twist;
    Eigen::VectorXd value, rate, acceleration;  ///< Of the twist at the grid's points.
    double piece_from = 0.0;
    Eigen::VectorXd at_from;  ///< Sines and cosines of that time.
    PieceSums spring, damping, offset;
    Eigen::MatrixXd slope;   ///< From memories and jumps.
    Eigen::MatrixXd memory;  ///< [parts × size]: derivative of each memory over the twist.
    Eigen::VectorXd torque_per_memory;  ///< In the present modes [N m/rad].
    int switches = 0;
    std::string trouble;

    [[nodiscard]] SeriesNow at_point(Eigen::Index k) const {
        const Eigen::Index i = k % value.size();
        return {.value = value(i), .rate = rate(i), .acceleration = acceleration(i)};
    }

    Pass(const FourierBasis& of, const FourierGrid& grid, const Eigen::VectorXd& x,
         Eigen::Index parts)
        : basis(of),
          fine{.harmonics = 3 * of.harmonics + 1, .omega = of.omega},
          twist(x),
          value(grid.table * x),
          rate(grid.table * of.derivative(x)),
          acceleration(grid.table * of.derivative(of.derivative(x))),
          at_from(fine.at(0.0)),
          spring(fine.harmonics, of.omega),
          damping(spring),
          offset(spring),
          slope(Eigen::MatrixXd::Zero(of.size(), of.size())),
          memory(Eigen::MatrixXd::Zero(parts, of.size())),
          torque_per_memory(Eigen::VectorXd::Zero(parts)) {}
};

BranchWalker::BranchWalker(const Branch& branch, double drift, std::vector<int> part_modes,
                           std::vector<double> part_memories)
    : line_(std::make_unique<const Driveline>(alone(branch))),
      drift_(drift),
      stacked_(*line_),
      probe_(*line_) {
    state_ = start_state(*line_);
    for (const Cell& cell : branch.chain) {
        for (const Part& part : cell.parts) {
            for (const Mode& mode : part.law.modes) {
                never_changes_ = never_changes_ && mode.guards.empty();
            }
        }
    }
    restart(std::move(part_modes), std::move(part_memories));
}

void BranchWalker::restart(std::vector<int> part_modes, std::vector<double> part_memories) {
    if (part_modes.size() != state_.mode.size() || part_memories.size() != state_.memory.size()) {
        throw ModelError(
            fmt::format("\"{}\" has {} parts", line_->branches[0].name, state_.mode.size()));
    }
    state_.mode = std::move(part_modes);
    state_.memory = std::move(part_memories);
    stacked_.set(state_);
}

BranchCourse BranchWalker::walk(const FourierBasis& basis, const FourierGrid& grid,
                                const Eigen::VectorXd& twist) {
    BranchCourse out;
    if (never_changes_) return linear_course(basis, twist);
    const auto parts = static_cast<Eigen::Index>(state_.mode.size());
    const double swing = std::max(twist.cwiseAbs().sum(), 1e-9);
    Eigen::MatrixXd memory = Eigen::MatrixXd::Zero(parts, basis.size());
    for (int period = 0; period < most_periods; ++period) {
        const State before = state_;
        Pass pass(basis, grid, twist, parts);
        pass.memory = memory;
        run_pass(pass);
        out.switches = pass.switches;
        if (!pass.trouble.empty()) {
            out.why_not = pass.trouble;
            return out;
        }
        bool same = before.mode == state_.mode;
        for (std::size_t p = 0; p < state_.memory.size(); ++p) {
            same = same && std::abs(before.memory[p] - state_.memory[p]) <= same_memory * swing;
        }
        same = same && largest_of(pass.memory - memory) <= same_slope;
        memory = pass.memory;
        if (!same) continue;
        out.repeats = true;
        out.spring = pass.spring.mean();
        out.damping = pass.damping.mean();
        const int wide = 2 * basis.harmonics;
        const Eigen::VectorXd rate = basis.derivative(twist);
        out.torque = pass.offset.coefficients(wide) +
                     pass.spring.product(wide, basis.harmonics) * twist +
                     pass.damping.product(wide, basis.harmonics) * rate;
        out.torque(0) += out.damping * drift_;
        if (drift_ != 0.0) {
            out.torque.tail(2 * wide) += drift_ * pass.damping.coefficients(wide).tail(2 * wide);
        }
        if (pass.switches == 0 && largest_of(pass.memory) == 0.0) return out;
        out.slope = pass.slope + pass.spring.product(basis.harmonics, basis.harmonics);
        const Eigen::MatrixXd by_rate = pass.damping.product(basis.harmonics, basis.harmonics);
        for (int n = 1; n <= basis.harmonics; ++n) {
            const double w = n * basis.omega;
            out.slope.col(2 * n - 1) -= w * by_rate.col(2 * n);
            out.slope.col(2 * n) += w * by_rate.col(2 * n - 1);
        }
        return out;
    }
    out.why_not = fmt::format("the friction of \"{}\" does not settle", line_->branches[0].name);
    return out;
}

/// What has no guards needs no walk.
BranchCourse BranchWalker::linear_course(const FourierBasis& basis, const Eigen::VectorXd& twist) {
    const Stacked::BranchNow& now = stacked_.branches()[0];
    BranchCourse out;
    out.repeats = true;
    out.spring = now.spring;
    out.damping = now.damping;
    if (drift_ != 0.0 && now.spring != 0.0) {
        out.repeats = false;
        out.why_not = fmt::format("\"{}\" winds up", line_->branches[0].name);
        return out;
    }
    out.torque =
        resized(now.spring * twist + now.damping * basis.derivative(twist), 2 * basis.harmonics);
    out.torque(0) += now.offset + now.damping * drift_;
    return out;
}

void BranchWalker::run_pass(Pass& pass) {
    take_memory_slopes(pass);
    const double period = pass.basis.period();
    double now = 0.0;
    SeriesNow at_now = pass.at_point(0);
    const Eigen::Index points = pass.value.size();
    for (Eigen::Index k = 1; k <= points; ++k) {
        const double next = period * static_cast<double>(k) / static_cast<double>(points);
        const SeriesNow at_next = pass.at_point(k);
        for (;;) {
            const Event event = first_event(pass, now, at_now, next, at_next);
            if (!event.found) break;
            fire(pass, event);
            if (!pass.trouble.empty()) return;
            now = event.time;
            at_now = evaluate(pass.basis, pass.twist, now);
        }
        now = next;
        at_now = at_next;
    }
    close_piece(pass, period, pass.fine.at(0.0));
}

BranchWalker::Event BranchWalker::first_event(const Pass& pass, double from, const SeriesNow& a,
                                              double to, const SeriesNow& b) const {
    Event first;
    if (!(to > from)) return first;
    const auto guards = stacked_.guards(0);
    for (std::size_t g = 0; g < guards.size(); ++g) {
        const Stacked::GuardNow& guard = guards[g];
        const double value_a = guard.at(a.value, a.rate + drift_);
        const double value_b = guard.at(b.value, b.rate + drift_);
        const double slope_a = guard.twist * (a.rate + drift_) + guard.rate * a.acceleration;
        double time = from;
        if (value_a < 0.0 && slope_a < 0.0) {
            time = from;
        } else if (value_b < 0.0) {
            time = locate(pass, guard, from, to);
            if (time >= to) continue;
        } else {
            continue;
        }
        if (!first.found || time < first.time) first = {.time = time, .guard = g, .found = true};
    }
    return first;
}

/// Where the guard falls through zero; where it falls at all if it was below zero before.
double BranchWalker::locate(const Pass& pass, const Stacked::GuardNow& guard, double from,
                            double to) const {
    const auto value = [&](double t) {
        const SeriesNow now = evaluate(pass.basis, pass.twist, t);
        return guard.at(now.value, now.rate + drift_);
    };
    const auto slope = [&](double t) {
        const SeriesNow now = evaluate(pass.basis, pass.twist, t);
        return guard.twist * (now.rate + drift_) + guard.rate * now.acceleration;
    };
    const double start = value(from);
    if (start < 0.0 && slope(to) >= 0.0) return to;
    const bool by_value = start >= 0.0;
    double low = from;
    double high = to;
    double f_low = by_value ? start : slope(from);
    double f_high = by_value ? value(to) : slope(to);
    // Illinois: false position that halves the weight of an end that stays.
    int side = 0;
    for (int i = 0; i < 100 && high - low > 1e-15 * to; ++i) {
        double t = high - f_high * (high - low) / (f_high - f_low);
        if (!(t > low && t < high)) t = 0.5 * (low + high);
        const double f = by_value ? value(t) : slope(t);
        if (f < 0.0) {
            high = t;
            f_high = f;
            if (side < 0) f_low *= 0.5;
            side = -1;
        } else {
            low = t;
            f_low = f;
            if (side > 0) f_high *= 0.5;
            side = 1;
            if (f == 0.0) return t;
        }
    }
    return high;
}

void BranchWalker::close_piece(Pass& pass, double to, const Eigen::VectorXd& at_to) {
    const Stacked::BranchNow& now = stacked_.branches()[0];
    if (drift_ != 0.0 && now.spring != 0.0) {
        pass.trouble = fmt::format("\"{}\" comes to rest at times", line_->branches[0].name);
        return;
    }
    pass.spring.add(now.spring, pass.piece_from, to, pass.at_from, at_to);
    pass.damping.add(now.damping, pass.piece_from, to, pass.at_from, at_to);
    pass.offset.add(now.offset, pass.piece_from, to, pass.at_from, at_to);
    const Eigen::RowVectorXd by_memory = pass.torque_per_memory.transpose() * pass.memory;
    if (largest_of(by_memory) > 0.0) {
        PieceSums one(pass.basis.harmonics, pass.basis.omega);
        one.add(1.0, pass.piece_from, to, pass.at_from, at_to);
        pass.slope += one.coefficients(pass.basis.harmonics) * by_memory;
    }
    pass.piece_from = to;
    pass.at_from = at_to;
}

void BranchWalker::fire(Pass& pass, const Event& event) {
    if (++pass.switches > most_switches) {
        pass.trouble =
            fmt::format("\"{}\" switches without end at one time", line_->branches[0].name);
        return;
    }
    const Eigen::VectorXd at = pass.fine.at(event.time);
    close_piece(pass, event.time, at);
    if (!pass.trouble.empty()) return;
    const Stacked::GuardNow guard = stacked_.guards(0)[event.guard];
    const Stacked::PartPlace& place = stacked_.parts()[guard.part];
    const auto part = static_cast<Eigen::Index>(guard.part);
    const Mode& mode = place.part->law.modes[static_cast<std::size_t>(state_.mode[guard.part])];
    const Guard& rule = mode.guards[guard.index];

    // Derivative of the time of the change over the twist's coefficients.
    const SeriesNow series = evaluate(pass.basis, pass.twist, event.time);
    const double rate = series.rate + drift_;
    const Eigen::RowVectorXd value_at = at.head(pass.basis.size()).transpose();
    Eigen::RowVectorXd rate_at = Eigen::RowVectorXd::Zero(pass.basis.size());
    for (int n = 1; n <= pass.basis.harmonics; ++n) {
        rate_at(2 * n - 1) = -n * pass.basis.omega * at(2 * n);
        rate_at(2 * n) = n * pass.basis.omega * at(2 * n - 1);
    }
    const double factor =
        stacked_.cell_twist(place.cell, 1.0) - stacked_.cell_twist(place.cell, 0.0);
    Eigen::RowVectorXd own = factor * value_at;  // of the twist of the part's cell
    State moved = state_;
    for (std::size_t p = 0; p < state_.memory.size(); ++p) {
        if (!stacked_.parts()[p].part->law.has_memory) continue;
        moved.memory[p] = state_.memory[p] + 1.0;
        probe_.set_branch(moved, 0);
        moved.memory[p] = state_.memory[p];
        own += (probe_.cell_twist(place.cell, 0.0) - stacked_.cell_twist(place.cell, 0.0)) *
               pass.memory.row(static_cast<Eigen::Index>(p));
    }
    const Eigen::RowVectorXd guard_at =
        rule.value.twist * own + guard.rate * rate_at + rule.value.memory * pass.memory.row(part);
    const double falling = guard.twist * rate + guard.rate * series.acceleration;
    Eigen::RowVectorXd shift = Eigen::RowVectorXd::Zero(pass.basis.size());
    if (falling < 0.0) shift = guard_at / -falling;

    if (rule.resets) {
        const Eigen::RowVectorXd before = pass.memory.row(part);
        pass.memory.row(part) =
            rule.reset.twist * (own + factor * rate * shift) + rule.reset.memory * before;
    }
    const double torque_before = stacked_.torque(0, series.value, rate);
    stacked_.fire(guard, state_, series.value);
    const double jump = torque_before - stacked_.torque(0, series.value, rate);
    if (jump != 0.0) {
        Eigen::VectorXd weight = (2.0 / pass.basis.period()) * value_at.transpose();
        weight(0) *= 0.5;
        pass.slope += jump * weight * shift;
    }
    take_memory_slopes(pass);
}

void BranchWalker::take_memory_slopes(Pass& pass) {
    State moved = state_;
    for (std::size_t p = 0; p < state_.memory.size(); ++p) {
        const auto row = static_cast<Eigen::Index>(p);
        pass.torque_per_memory(row) = 0.0;
        if (!stacked_.parts()[p].part->law.has_memory) continue;
        moved.memory[p] = state_.memory[p] + 1.0;
        probe_.set_branch(moved, 0);
        moved.memory[p] = state_.memory[p];
        pass.torque_per_memory(row) = probe_.branches()[0].offset - stacked_.branches()[0].offset;
    }
}

}  // namespace damper
