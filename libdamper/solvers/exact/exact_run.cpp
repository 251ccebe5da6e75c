// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"

#include "libdamper/base/error.hpp"

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
    hold_caps();
    check_all();
    while (!ended_) {
        std::size_t first = none;
        for (const std::size_t b : guarded_) {
            if (book_[b].next <= 1.0 && (first == none || book_[b].next < book_[first].next)) {
                first = b;
            }
        }
        if (first == none) {
            emit_samples(end);
            leave(1.0, end);
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
    return report_.steps % between_looks != 0 || look_up();
}

/// Ends the stretch at s: books what it did and takes the state there.
void ExactRun::leave(double s, double time) {
    ended_ = true;
    time_ = time;
    if (s <= 0.0 || core_masses_.empty()) return;
    book_stretch(s);
    core_.at(s, angle_, speed_);
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
    const double stored = stacked_.stored(b, state_, now.delta);
    stacked_.fire(guard, state_, now.delta);
    book.heat += stored - stacked_.stored(b, state_, now.delta);
    ++report_.mode_changes;
    log_.change(time_, guard.part, from, state_.mode[guard.part], now.rate, book.impulse,
                book.heat);
    const Stacked::BranchNow& law = stacked_.branches()[b];
    const bool same = law.offset == book.law.offset && law.spring == book.law.spring &&
                      law.damping == book.law.damping;
    const bool moves_core = (book.in_core && !same) || couples(b) != book.coupled;
    if (!ended_ && moves_core) leave(s_, time_);
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
    report_.complete = time_ >= settings_.end;
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
    out.events = log_.take();
    report_.end_time = time_;
    report_.evaluations = report_.steps;
    report_.multiply_adds = core_.multiply_adds();
    out.report = std::move(report_);
    return out;
}

}  // namespace damper
