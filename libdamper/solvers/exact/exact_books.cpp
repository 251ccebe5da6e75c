// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace damper {

/// Moves a free inertia to time t and books the heat of its viscous drag on the way.
void ExactRun::move_free(std::size_t mass, double t) {
    FreeMotion& f = free_[mass];
    const double dt = t - f.time;
    if (dt > 0.0) {
        for (const std::size_t b : branches_of_[mass]) {
            const double c = book_[b].heat_now.rate;
            if (c == 0.0) continue;
            const double factor = line_.branches[b].row[0].factor;
            const double drift = stacked_.drift(b);
            // Gauss–Legendre, five points: exact to rounding for decays as slow as drag.
            constexpr std::array<double, 3> x = {0.0, 0.5384693101056831, 0.9061798459386640};
            constexpr std::array<double, 3> w = {0.5688888888888889, 0.4786286704993665,
                                                 0.2369268850561891};
            double sum = 0.0;
            for (std::size_t q = 0; q < x.size(); ++q) {
                for (const double sign : {-1.0, 1.0}) {
                    if (q == 0 && sign > 0.0) continue;
                    const double rate =
                        factor * f.speed_at(f.time + 0.5 * dt * (1.0 + sign * x[q])) + drift;
                    sum += w[q] * rate * rate;
                }
            }
            book_[b].heat += c * 0.5 * dt * sum;
        }
    }
    f.advance(t);
    angle_[mass] = f.angle;
    speed_[mass] = f.speed;
}

/// Heat, work and contacts of the step up to s_end.
///
/// Squares of speeds and work of inputs are integrated on Gauss–Legendre points, where all speeds
/// of the core are evaluated at once: with eight points and no more than two radians of the
/// quickest motion in a step the error is below rounding.
void ExactRun::book_step(double h, double s_end) {
    constexpr std::array<double, 8> x = {
        -0.9602898564975363, -0.7966664774136267, -0.5255324099163290, -0.1834346424956498,
        0.1834346424956498,  0.5255324099163290,  0.7966664774136267,  0.9602898564975363};
    constexpr std::array<double, 8> w = {0.1012285362903763, 0.2223810344533745, 0.3137066458778873,
                                         0.3626837833783620, 0.3626837833783620, 0.3137066458778873,
                                         0.2223810344533745, 0.1012285362903763};
    for (std::size_t q = 0; q < x.size(); ++q) {
        const double s = 0.5 * s_end * (1.0 + x[q]);
        const double weight = 0.5 * s_end * h * w[q];
        core_.speeds_at(s, node_speed_);
        for (const std::size_t b : metered_) {
            const double rate = stacked_.rate(b, node_speed_);
            book_[b].heat += weight * book_[b].heat_now.rate * rate * rate;
        }
        for (std::size_t u = 0; u < work_.size(); ++u) {
            const auto i = static_cast<std::size_t>(line_.inputs[u].inertia);
            work_[u] += weight * value_at(series_[u].so_far(), s) *
                        (line_.masses[i].reference_speed + node_speed_[i]);
        }
    }
    for (const std::size_t b : contacts_) {
        if (stacked_.branches()[b].spring != 0.0) book_contact(b, h, s_end);
    }
}

/// Impulse and peak torque of a contact.
void ExactRun::book_contact(std::size_t b, double h, double s_end) {
    const Stacked::BranchNow& now = stacked_.branches()[b];
    const std::size_t n = twist_series(b, h, delta_);
    for (std::size_t k = 0; k + 1 < n; ++k) {
        guard_[k] =
            now.spring * delta_[k] + now.damping * static_cast<double>(k + 1) * delta_[k + 1] / h;
    }
    guard_[0] += now.offset;
    const auto torque = std::span<const double>(guard_).first(n - 1);
    book_[b].impulse += h * std::abs(integral_to(torque, s_end));
    const std::size_t part = book_[b].contact;
    if (std::find(log_.open().begin(), log_.open().end(), part) == log_.open().end()) return;
    const double last = value_at(torque, s_end);
    log_.torque(part, torque[0]);
    log_.torque(part, last);
    const double sign = torque[0] + last >= 0.0 ? 1.0 : -1.0;
    if (!(sign * torque[1] > 0.0)) return;
    for (std::size_t k = 1; k + 1 < n; ++k) {
        part_[k - 1] = sign * static_cast<double>(k) * guard_[k];
    }
    const std::optional<double> top =
        first_fall(std::span<const double>(part_).first(n - 2), 0.0, 0.0);
    if (top && *top < s_end) log_.torque(part, value_at(torque, *top));
}

void ExactRun::book_constant(std::size_t b, double delta) {
    book_[b].heat += book_[b].heat_now.constant * (delta - book_[b].mark);
    book_[b].mark = delta;
}

EnergyBook ExactRun::books() const {
    EnergyBook book;
    for (std::size_t b = 0; b < book_.size(); ++b) {
        book.entries.push_back(
            {.element = line_.branches[b].name,
             .dissipated = book_[b].heat,
             .stored_change = stacked_.stored(b, state_, twist_now(b)) - start_stored_[b]});
    }
    for (std::size_t u = 0; u < work_.size(); ++u) {
        book.entries.push_back({.element = line_.inputs[u].name, .supplied = work_[u]});
    }
    book.entries.push_back(kinetic_gain(line_, start_speed_, speed_));
    return book;
}

}  // namespace damper
