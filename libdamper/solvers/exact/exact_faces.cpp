// SPDX-License-Identifier: MIT
// When rubbing faces stick and slip.
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double rate_rounding = 1e-13;    // of the largest speed: what rounding leaves of a rate
constexpr double torque_rounding = 1e-12;  // of what is held: what rounding leaves of a torque

}  // namespace

/// What the faces do at the start. Faces that are said to stick do so if they have no rate.
void ExactRun::begin_faces() {
    const std::vector<Rubbing> moving = rubbing_at(line_, speed_);
    if (state_.rubbing.size() != line_.faces.size()) state_.rubbing = moving;
    double top = 1e-3;
    for (std::size_t i = 0; i < speed_.size(); ++i) {
        top = std::max(top, std::abs(line_.masses[i].reference_speed) + std::abs(speed_[i]));
    }
    for (std::size_t f = 0; f < moving.size(); ++f) {
        const double rate = rate_of(line_, line_.faces[f].row, speed_.data());
        if (std::abs(rate) > rate_rounding * top) state_.rubbing[f] = moving[f];
        core_.rub(f, state_.rubbing[f]);
    }
    face_book_.resize(moving.size());
    face_torque_.assign(moving.size(), 0.0);
}

/// Finds where in the stretch faces change their mode first.
void ExactRun::check_faces() {
    for (std::size_t f = 0; f < face_book_.size(); ++f) {
        FaceBook& book = face_book_[f];
        book.next = never;
        const FaceSeries& series = core_.face(f);
        const bool sticks = series.mode() == Rubbing::sticking;
        double floor = 0.0, slope_floor = 0.0;
        if (sticks) {
            for (const double t : series.torques()) floor += std::abs(t);
            floor += std::abs(series.guard(true, guard_)[0]);
            floor *= torque_rounding;
        } else {
            double top = 0.0;
            for (const RowEntry& e : line_.faces[f].row) {
                const auto i = static_cast<std::size_t>(e.inertia);
                top += std::abs(e.factor) *
                       (std::abs(line_.masses[i].reference_speed) + std::abs(speed_[i]));
            }
            floor = rate_rounding * std::max(top, top_speed_);
            // Right after sticking the rate begins without a slope.
            slope_floor = floor;
        }
        for (const bool up : {true, false}) {
            if (!sticks && !up) continue;
            const std::span<const double> guard = series.guard(up, guard_);
            std::optional<double> s;
            if (sticks && guard[0] < -floor) {
                s = 0.0;  // slip went through zero: the faces never held
            } else {
                s = firing(guard, 0.0, limit_, floor, slope_floor);
            }
            if (!s || *s >= book.next) continue;
            book.next = *s;
            book.to = !sticks ? Rubbing::sticking
                      : up    ? Rubbing::slipping_up
                              : Rubbing::slipping_down;
        }
    }
}

/// Faces change their mode, which ends the stretch.
void ExactRun::fire_face(std::size_t f) {
    leave(s_, time_);
    const int from = static_cast<int>(state_.rubbing[f]);
    state_.rubbing[f] = face_book_[f].to;
    core_.rub(f, state_.rubbing[f]);
    ++report_.mode_changes;
    log_.rub(time_, f, from, static_cast<int>(state_.rubbing[f]));
    count_switch(line_.faces[f].name);
}

}  // namespace damper
