// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

constexpr double phase_per_step = 2.0;  // rad of the quickest motion in a step
constexpr double torque_phase = 0.8;    // rad of the quickest torque harmonic in a step
constexpr int switches_in_place = 64;
constexpr std::int64_t switches_per_window = 1000000;
constexpr double window = 1e-3;  // s
constexpr std::int64_t between_looks = 256;

}  // namespace

double ExactRun::wanted_step() const {
    double quickest = core_.quickest() / phase_per_step;
    for (std::size_t u = 0; u < series_.size(); ++u) {
        const auto i = static_cast<std::size_t>(line_.inputs[u].inertia);
        const double speed = line_.masses[i].reference_speed + speed_[i];
        quickest = std::max(quickest, series_[u].quickest(speed) / torque_phase);
    }
    const auto kink = std::upper_bound(kinks_.begin(), kinks_.end(), time_);
    const double bound = kink == kinks_.end() ? settings_.end : *kink;
    const double h = std::min(settings_.largest_step, quickest > 0.0 ? 1.0 / quickest : 1.0);
    return std::min(h, bound - time_);
}

double ExactRun::bound_left() const {
    const auto kink = std::upper_bound(kinks_.begin(), kinks_.end(), time_);
    return (kink == kinks_.end() ? settings_.end : *kink) - time_;
}

bool ExactRun::step() {
    for (const std::size_t i : core_masses_) {
        top_speed_ = std::max(top_speed_, std::abs(speed_[i]));
    }
    double h = wanted_step();
    const bool to_bound = h == bound_left();
    const double asked = h;
    if (!core_masses_.empty()) h = core_.expand(clock(), h, angle_, speed_, top_speed_);
    hold_caps();
    const std::optional<Fired> fired = first_firing(h);
    const double s_end = fired ? fired->s : 1.0;
    const double next = !fired && to_bound && h == asked ? time_ + bound_left() : time_ + s_end * h;
    emit_samples(h, next);
    if (s_end > 0.0) {
        book_step(h, s_end);
        core_.at(s_end, angle_, speed_);
        for (BranchBook& book : book_) book.fresh = false;
    }
    ++report_.steps;
    report_.smallest_step = std::min(report_.smallest_step, next - time_);
    if (next > time_) switches_here_ = 0;
    time_ = next;
    rebase();
    if (fired) fire(*fired);
    return report_.steps % between_looks != 0 || look_up();
}

void ExactRun::fire(const Fired& fired) {
    const std::size_t b = fired.branch;
    meet(b);
    const Stacked::GuardNow guard = stacked_.guards(b)[fired.guard];
    const double delta = twist_now(b);
    const double rate = rate_now(b);
    const int from = state_.mode[guard.part];
    book_constant(b, delta);
    // A free inertia books its drag under the law that ends here.
    const double stored = stacked_.stored(b, state_, delta);
    stacked_.fire(guard, state_, delta);
    book_[b].heat += stored - stacked_.stored(b, state_, delta);
    book_[b].heat_now = stacked_.heat(b, state_);
    book_[b].fresh = true;
    ++report_.mode_changes;
    log_.change(time_, angle_, guard.part, from, state_.mode[guard.part], rate, book_[b].impulse,
                book_[b].heat);
    refresh(b);
    if (couples(b) != coupled_[b]) arrange();
    const std::string& name = stacked_.parts()[guard.part].part->name;
    if (++switches_here_ > switches_in_place) {
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

void ExactRun::emit_samples(double h, double until) {
    if (sink_ == nullptr) return;
    while (true) {
        const double t = run_start_ + static_cast<double>(next_sample_) * settings_.sample_step;
        if (t > std::min(until, settings_.end)) return;
        emit(t, (t - time_) / h);
        ++next_sample_;
    }
}

void ExactRun::emit(double t, double s) {
    sample_angle_ = angle_;
    sample_speed_ = speed_;
    core_.at(s, sample_angle_, sample_speed_);
    core_.acceleration_at(s, acceleration_);
    for (std::size_t i = 0; i < free_.size(); ++i) {
        if (in_core_[i]) continue;
        sample_angle_[i] = free_[i].angle_at(t);
        sample_speed_[i] = free_[i].speed_at(t);
        acceleration_[i] = free_[i].acceleration_at(t);
    }
    for (std::size_t u = 0; u < input_.size(); ++u) {
        const auto i = static_cast<std::size_t>(line_.inputs[u].inertia);
        input_[u] =
            torque(line_.inputs[u].source, t,
                   line_.masses[i].reference_speed * (t + stacked_.turn()) + sample_angle_[i]);
    }
    sink_->sample({.time = t,
                   .angle = sample_angle_,
                   .speed = sample_speed_,
                   .acceleration = acceleration_,
                   .input = input_,
                   .stacked = &stacked_});
}

bool ExactRun::look_up() {
    progress_.tell((time_ - run_start_) / (settings_.end - run_start_));
    if (!progress_.must_stop()) return true;
    report_.warnings.push_back(fmt::format("stopped on request at t = {:.6g} s", time_));
    return false;
}

TimeOutcome ExactRun::run() {
    try {
        while (time_ < settings_.end && step()) {
        }
    } catch (const SolverError& error) {
        report_.warnings.emplace_back(error.what());
    }
    report_.complete = time_ >= settings_.end;
    return finish();
}

TimeOutcome ExactRun::finish() {
    for (std::size_t i = 0; i < free_.size(); ++i) {
        if (!in_core_[i]) move_free(i, time_);
    }
    for (std::size_t b = 0; b < book_.size(); ++b) book_constant(b, twist_now(b));
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
    out.report = std::move(report_);
    return out;
}

}  // namespace damper
