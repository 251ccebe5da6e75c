// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/step_books.hpp"

#include "libdamper/solvers/solver.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace damper {

namespace {

constexpr std::size_t last = Equations::stages - 1;

/// Weights of the stages in the fifth-order end of a step (J. R. Dormand, P. J. Prince, 1980); the
/// same as in the stepper.
constexpr std::array<double, Equations::stages> weights = {
    35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0, 0.0};

/// Largest |value| of the cubic with these ends and slopes over a length 1, if it turns inside.
double top_between(double a, double b, double slope_a, double slope_b) {
    const double rise = b - a;
    const double square = 3.0 * rise - 2.0 * slope_a - slope_b;
    const double cube = slope_a + slope_b - 2.0 * rise;
    // slope_a + 2·square·x + 3·cube·x² = 0, the root where slopes change sign.
    const double root = std::sqrt(std::max(square * square - 3.0 * cube * slope_a, 0.0));
    const double x = slope_a / (slope_a > 0.0 ? -square + root : -square - root);
    if (!(x > 0.0 && x < 1.0)) return 0.0;
    return a + x * (slope_a + x * (square + x * cube));
}

double along(const std::vector<RowEntry>& row, const double* values) {
    double sum = 0.0;
    for (const RowEntry& entry : row) sum += entry.factor * values[entry.inertia];
    return sum;
}

}  // namespace

StepBooks::StepBooks(const Stacked& stacked, const State& state) : stacked_(&stacked) {
    const Driveline& line = stacked.line();
    const std::size_t count = line.branches.size();
    for (std::vector<double>* v : {&constant_, &rate_, &way_, &square_, &heat_}) {
        v->assign(count, 0.0);
    }
    smooth_heat_.assign(line.smooth.size(), 0.0);
    face_heat_.assign(line.faces.size(), 0.0);
    work_.assign(line.inputs.size(), 0.0);
    impulse_.assign(stacked.parts().size(), 0.0);
    std::vector<double> twist;
    for (std::size_t b = 0; b < count; ++b) {
        refresh(b, state);
        twist.push_back(stacked.twist(b, state.time, state.angle));
    }
    start_stored_ = stored(state, twist);
    start_speed_ = state.speed;
}

void StepBooks::refresh(std::size_t branch, const State& state) {
    const Stacked::HeatNow now = stacked_->heat(branch, state);
    constant_[branch] = now.constant;
    rate_[branch] = now.rate;
}

void StepBooks::add(const Step& step, const Equations& equations, ContactLog& log) {
    const std::size_t count = heat_.size();
    std::fill(way_.begin(), way_.end(), 0.0);
    std::fill(square_.begin(), square_.end(), 0.0);
    for (std::size_t s = 0; s <= last; ++s) {
        // A shifted end goes on as the end is.
        const double weight = s < last ? weights[s] * step.length() : step.shifted();
        if (weight == 0.0) continue;
        const Equations::Row& row = equations.rows()[s];
        for (std::size_t b = 0; b < count; ++b) {
            way_[b] += weight * row.rate[b];
            square_[b] += weight * row.rate[b] * row.rate[b];
        }
        for (std::size_t i = 0; i < smooth_heat_.size(); ++i) {
            smooth_heat_[i] += weight * row.smooth_power[i];
        }
        for (std::size_t f = 0; f < face_heat_.size(); ++f) {
            face_heat_[f] += weight * row.face_torque[f] * row.face_rate[f];
        }
        for (std::size_t u = 0; u < work_.size(); ++u) work_[u] += weight * row.input_power[u];
    }
    for (std::size_t b = 0; b < count; ++b) {
        heat_[b] += constant_[b] * way_[b] + rate_[b] * square_[b];
    }
    for (const std::size_t part : log.open()) add_contact(part, step, equations, log);
}

void StepBooks::add_contact(std::size_t part, const Step& step, const Equations& equations,
                            ContactLog& log) {
    const std::size_t b = stacked_->parts()[part].branch;
    const auto& rows = equations.rows();
    for (std::size_t s = 0; s <= last; ++s) {
        const double weight = s < last ? weights[s] * step.length() : step.shifted();
        impulse_[part] += weight * std::abs(rows[s].torque[b]);
    }
    const Stacked::BranchNow& now = stacked_->branches()[b];
    const std::vector<RowEntry>& row = stacked_->line().branches[b].row;
    const std::size_t n = equations.masses();
    const auto slope = [&](const Equations::Row& at, const std::vector<double>& slopes) {
        return step.length() *
               (now.spring * at.rate[b] + now.damping * along(row, slopes.data() + n));
    };
    const double first = rows[0].torque[b], end = rows[last].torque[b];
    log.torque(part, first);
    log.torque(part, end);
    const double rises = slope(rows[0], step.start_slope());
    const double falls = slope(rows[last], step.end_slope());
    if (rises * falls < 0.0 && rises * (first + end) > 0.0) {
        log.torque(part, top_between(first, end, rises, falls));
    }
}

std::vector<double> StepBooks::stored(const State& state, std::span<const double> twist) const {
    std::vector<double> out;
    for (std::size_t b = 0; b < twist.size(); ++b) {
        out.push_back(stacked_->stored(b, state, twist[b]));
    }
    return out;
}

EnergyBook StepBooks::close(const State& state, std::span<const double> twist,
                            std::span<const double> speed) const {
    const std::vector<double> now = stored(state, twist);
    return energy_book(stacked_->line(), {.heat = heat_,
                                          .stored_before = start_stored_,
                                          .stored_now = now,
                                          .smooth_heat = smooth_heat_,
                                          .face_heat = face_heat_,
                                          .work = work_,
                                          .speed_before = start_speed_,
                                          .speed_now = speed});
}

}  // namespace damper
