// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

// rad of the quickest motion in a stretch: long ones where it is hardly excited, so that the series
// end early nevertheless, shorter ones where mode changes would cut them anyhow.
constexpr double longest_phase = 20.0;
constexpr double shortest_phase = 1.2;
constexpr double phase_growth = 1.3;
constexpr std::size_t orders_worth_it = 26;
constexpr double torque_phase = 1.5;        // rad of the quickest torque harmonic in a stretch
constexpr double shortest_stretch = 1e-15;  // s, unless it reaches the end or a kink
constexpr int switches_in_place = 64;
constexpr std::int64_t switches_per_window = 1000000;
constexpr double window = 1e-3;  // s
constexpr std::int64_t between_looks = 256;

}  // namespace

double ExactRun::bound_left() const {
    return kinks_[next_kink_] - time_;
}

double ExactRun::wanted_length() const {
    const double quickest =
        std::max(core_.quickest() / phase_, core_.quickest_input(speed_) / torque_phase);
    const double h = std::min(settings_.largest_step, quickest > 0.0 ? 1.0 / quickest : 1.0);
    return std::min(h, bound_left());
}

/// How long the next stretch should be, from how this one went.
void ExactRun::choose_phase(bool cut) {
    const double had = core_.quickest() * length_;
    if (cut) {
        phase_ = std::max(shortest_phase, phase_ / phase_growth);
    } else if (core_.orders() > orders_worth_it) {
        phase_ = std::clamp(had / phase_growth, shortest_phase, longest_phase);
    } else {
        phase_ = std::min(longest_phase, phase_ * phase_growth);
    }
}

/// One stretch, with the mode changes inside it.
bool ExactRun::stretch() {
    for (const std::size_t i : core_masses_) {
        top_speed_ = std::max(top_speed_, std::abs(speed_[i]));
    }
    while (bound_left() <= 0.0) ++next_kink_;
    from_ = time_;
    s_ = 0.0;
    ended_ = false;
    ++stretch_number_;
    length_ = wanted_length();
    const bool to_bound = length_ == bound_left();
    const double asked = length_;
    if (!core_masses_.empty()) {
        if (!to_bound && !(length_ > shortest_stretch)) {
            throw SolverError(
                fmt::format("stopped at t = {:.6g} s: the motion is too quick to be followed",
                            time_),
                time_, "");
        }
        length_ = core_.expand(time_, length_, angle_, speed_, top_speed_);
    }
    const double end = to_bound && length_ == asked ? kinks_[next_kink_] : from_ + length_;
    find_stop();
    hold_caps();
    check_all();
    check_faces();
    while (!ended_) {
        std::size_t first = none;
        for (const std::size_t b : guarded_) {
            if (book_[b].next <= limit_ && (first == none || book_[b].next < book_[first].next)) {
                first = b;
            }
        }
        std::size_t face = none;
        for (std::size_t f = 0; f < face_book_.size(); ++f) {
            const double next = face_book_[f].next;
            const double sooner = face != none    ? face_book_[face].next
                                  : first != none ? book_[first].next
                                                  : limit_;
            if (next <= limit_ && next <= sooner) face = f;
        }
        if (face != none) {
            s_ = std::max(s_, face_book_[face].next);
            time_ = std::min(from_ + s_ * length_, end);
            emit_samples(time_);
            fire_face(face);
            break;
        }
        if (first == none) {
            stopped_ = limit_ < 1.0;
            const double until = stopped_ ? std::min(from_ + limit_ * length_, end) : end;
            emit_samples(until);
            leave(limit_, until);
            break;
        }
        s_ = std::max(s_, book_[first].next);
        time_ = std::min(from_ + s_ * length_, end);
        emit_samples(time_);
        fire(first);
    }
    const double took = time_ - from_;
    ++report_.steps;
    report_.smallest_step = std::min(report_.smallest_step, took);
    choose_phase(time_ < end);
    rebase();
    if (stopped_) return false;
    return report_.steps % between_looks != 0 || look_up();
}

/// Ends the stretch at s: books what it did and takes the state there.
void ExactRun::leave(double s, double time) {
    ended_ = true;
    s_ = s;
    tell_move();
    time_ = time;
    if (s <= 0.0 || core_masses_.empty()) return;
    book_stretch(s);
    core_.at(s, angle_, speed_);
}

/// Whether and where in the stretch the run is to stop.
void ExactRun::find_stop() {
    limit_ = 1.0;
    told_ = 0.0;
    if (!stop_ || !in_core_[stop_->inertia]) return;
    const std::size_t n = core_.orders() + 1;
    const double speed = line_.masses[stop_->inertia].reference_speed;
    for (std::size_t k = 0; k < n; ++k) guard_[k] = -core_.theta(stop_->inertia)[k];
    guard_[0] += stop_->angle - speed * clock(from_);
    guard_[1] -= speed * length_;
    const std::optional<double> s = firing({guard_.data(), n}, 0.0, 1.0, 0.0);
    if (s) limit_ = *s;
}

/// Tells the watcher what has been moved since it was told last.
void ExactRun::tell_move() {
    if (watcher_ == nullptr || !(s_ > told_)) return;
    for (std::size_t u = 0; u < slopes_.size(); ++u) slopes_[u] = core_.input_slope(u);
    watcher_->moved({.stacked = stacked_,
                     .state = state_,
                     .duration = (s_ - told_) * length_,
                     .from = told_,
                     .length = length_,
                     .input_slope = slopes_});
    told_ = s_;
}

/// Sends the first guard of a branch that fires into its next mode.
void ExactRun::fire(std::size_t b) {
    BranchBook& book = book_[b];
    const Stacked::GuardNow guard = stacked_.guards(b)[book.guard];
    const Twist now = twist_at(b, s_);
    // A coupled branch ends the stretch, and its contact's books are wanted up to here.
    if (book.coupled) leave(s_, time_);
    const int from = state_.mode[guard.part];
    book_constant(b, now.delta);
    if (watcher_ != nullptr) {
        tell_move();
        const double bend = local_at(twist_series(b), s_).half_bend;
        watcher_->before_switch({.stacked = stacked_,
                                 .state = state_,
                                 .guard = guard,
                                 .delta = now.delta,
                                 .rate = now.rate,
                                 .acceleration = 2.0 * bend / (length_ * length_),
                                 .torque = stacked_.torque(b, now.delta, now.rate)});
    }
    const double stored = stacked_.stored(b, state_, now.delta);
    stacked_.fire(guard, state_, now.delta);
    book.heat += stored - stacked_.stored(b, state_, now.delta);
    if (watcher_ != nullptr) {
        watcher_->after_switch({.stacked = stacked_,
                                .state = state_,
                                .guard = guard,
                                .delta = now.delta,
                                .rate = now.rate,
                                .torque = stacked_.torque(b, now.delta, now.rate)});
    }
    ++report_.mode_changes;
    const bool same = stacked_.branches()[b] == book.law;
    const bool moves_core = (book.in_core && !same) || couples(b) != book.coupled;
    if (!ended_ && moves_core) leave(s_, time_);
    // A branch that couples has ended the stretch: the angles of its impact are those of now.
    log_.change(time_, angle_, guard.part, from, state_.mode[guard.part], now.rate, book.impulse,
                book.heat);
    take_law(b);
    if (!ended_) recheck(b, same);
    count_switch(stacked_.parts()[guard.part].part->name);
}

/// Proof of progress: neither at one instant nor in a short time can there be switches without end.
void ExactRun::count_switch(const std::string& name) {
    switches_here_ = time_ == last_switch_ ? switches_here_ + 1 : 1;
    last_switch_ = time_;
    if (switches_here_ > switches_in_place) {
        throw SolverError(fmt::format("stopped at t = {:.6g} s: \"{}\" switched {} times without "
                                      "time passing",
                                      time_, name, switches_in_place),
                          time_, name);
    }
    if (time_ > window_end_) {
        window_end_ = time_ + window;
        window_switches_ = 0;
    }
    if (++window_switches_ > switches_per_window) {
        throw SolverError(fmt::format("stopped at t = {:.6g} s: more than {} switches in a "
                                      "millisecond, the last one of \"{}\"",
                                      time_, switches_per_window, name),
                          time_, name);
    }
}

bool ExactRun::look_up() {
    progress_.tell((time_ - run_start_) / (settings_.end - run_start_));
    if (!progress_.must_stop()) return true;
    report_.warnings.push_back(fmt::format("stopped on request at t = {:.6g} s", time_));
    return false;
}

TimeOutcome ExactRun::run() {
    try {
        while (time_ < settings_.end && stretch()) {
        }
    } catch (const SolverError& error) {
        report_.warnings.emplace_back(error.what());
    }
    report_.complete = stop_ ? stopped_ : time_ >= settings_.end;
    return finish();
}

TimeOutcome ExactRun::finish() {
    if (!ended_) leave(s_, time_);
    for (std::size_t i = 0; i < free_.size(); ++i) {
        if (!in_core_[i]) move_free(i, time_);
    }
    for (std::size_t b = 0; b < book_.size(); ++b) {
        book_constant(b, stacked_.twist(b, time_, angle_));
    }
    const std::vector<std::size_t> open = log_.open();
    for (const std::size_t part : open) {
        const std::size_t b = stacked_.parts()[part].branch;
        log_.finish(time_, part, book_[b].impulse, book_[b].heat);
    }
    TimeOutcome out;
    out.energy = books();
    state_.time = time_;
    state_.angle = angle_;
    for (std::size_t i = 0; i < angle_.size(); ++i) {
        state_.angle[i] += line_.masses[i].reference_speed * stacked_.turn();
    }
    state_.speed = speed_;
    out.end = state_;
    report_.end_time = time_;
    report_.evaluations = report_.steps;
    report_.multiply_adds = core_.multiply_adds();
    out.report = std::move(report_);
    return out;
}

}  // namespace damper
