// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_run.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr double largest_deviation = 1e-3;  // rad that angles may deviate before they are rebased

std::vector<TorqueSeries> series_of(const Driveline& line) {
    std::vector<TorqueSeries> out;
    for (const Input& input : line.inputs) out.emplace_back(input.source);
    return out;
}

}  // namespace

ExactRun::ExactRun(const Driveline& line, const State& start, const TimeSettings& settings,
                   Sink* sink, const Progress& progress)
    : line_(line),
      settings_(settings),
      sink_(sink),
      progress_(progress),
      state_(start),
      stacked_(line),
      log_(stacked_, sink, settings.crank),
      series_(series_of(line)),
      core_(stacked_, series_),
      angle_(start.angle),
      speed_(start.speed),
      start_speed_(start.speed) {
    if (!(settings.end > start.time) || !(settings.sample_step > 0.0) ||
        !(settings.largest_step > 0.0)) {
        throw ModelError("a run needs an end after its start, and positive steps");
    }
    const std::size_t n = line.masses.size();
    time_ = run_start_ = start.time;
    free_.resize(n);
    acceleration_.resize(n);
    cap_.assign(n, 0.0);
    input_.resize(line.inputs.size());
    work_.assign(line.inputs.size(), 0.0);
    book_.resize(line.branches.size());
    branches_of_.resize(n);
    coupled_.assign(line.branches.size(), false);
    core_masses_.reserve(n);
    core_branches_.reserve(line.branches.size());
    node_speed_ = speed_;
    for (std::size_t b = 0; b < line.branches.size(); ++b) {
        for (const RowEntry& entry : line.branches[b].row) {
            branches_of_[static_cast<std::size_t>(entry.inertia)].push_back(b);
        }
    }
    for (std::size_t p = 0; p < stacked_.parts().size(); ++p) {
        if (stacked_.parts()[p].part->law.counts_impacts) {
            book_[stacked_.parts()[p].branch].contact = p;
        }
    }
    stacked_.set(state_);
    for (std::size_t b = 0; b < book_.size(); ++b) {
        book_[b].heat_now = stacked_.heat(b, state_);
        book_[b].mark = twist_now(b);
        start_stored_.push_back(stacked_.stored(b, state_, book_[b].mark));
    }
    for (const Input& input : line.inputs) {
        for (const double kink : breakpoints(input.source)) kinks_.push_back(kink);
    }
    kinks_.push_back(settings.end);
    std::sort(kinks_.begin(), kinks_.end());
    for (std::size_t i = 0; i < n; ++i) free_[i] = {time_, angle_[i], speed_[i], 0.0, 0.0};
    in_core_.assign(n, true);  // arrange() then gives every free inertia its law
    arrange();
    report_.method =
        fmt::format("exact: power series between mode changes ({} kernel)", core_.kernel().name);
    report_.smallest_step = settings.end - start.time;
}

/// A branch that ties its inertias' motions together, or holds one against the ground.
bool ExactRun::couples(std::size_t b) const {
    const Stacked::BranchNow& now = stacked_.branches()[b];
    if (now.spring != 0.0) return true;
    return now.damping != 0.0 && line_.branches[b].row.size() > 1;
}

/// Sorts the inertias into the core and the free ones, after couplings have changed.
void ExactRun::arrange() {
    const std::size_t n = line_.masses.size();
    std::vector<bool>& wanted = wanted_;
    wanted.assign(n, false);
    for (const Input& input : line_.inputs) wanted[static_cast<std::size_t>(input.inertia)] = true;
    for (std::size_t b = 0; b < book_.size(); ++b) {
        coupled_[b] = couples(b);
        if (!coupled_[b]) continue;
        for (const RowEntry& entry : line_.branches[b].row) {
            wanted[static_cast<std::size_t>(entry.inertia)] = true;
        }
    }
    core_masses_.clear();
    for (std::size_t i = 0; i < n; ++i) {
        if (wanted[i] && !in_core_[i]) move_free(i, time_);
        if (!wanted[i] && in_core_[i]) {
            free_[i] = {time_, angle_[i], speed_[i], 0.0, 0.0};
            set_free_law(i);
        }
        in_core_[i] = wanted[i];
        if (wanted[i]) core_masses_.push_back(i);
    }
    core_branches_.clear();
    for (std::size_t b = 0; b < book_.size(); ++b) {
        bool touches = false;
        book_[b].mixed = false;
        for (const RowEntry& entry : line_.branches[b].row) {
            const bool inside = in_core_[static_cast<std::size_t>(entry.inertia)];
            touches = touches || inside;
            book_[b].mixed = book_[b].mixed || !inside;
        }
        if (touches) core_branches_.push_back(b);
        book_[b].clear_until = std::min(book_[b].clear_until, time_);
    }
    core_.choose(core_masses_, core_branches_);
    list_metered();
}

/// Mixed branches are uncoupled: what drags there belongs to free inertias, who book it themselves.
void ExactRun::list_metered() {
    metered_.clear();
    contacts_.clear();
    for (const std::size_t b : core_branches_) {
        if (book_[b].mixed) continue;
        if (book_[b].heat_now.rate != 0.0) metered_.push_back(b);
        if (book_[b].contact != none) contacts_.push_back(b);
    }
}

void ExactRun::set_free_law(std::size_t mass) {
    // Drag first: it is still to be booked with the law under which it was done.
    move_free(mass, time_);
    FreeMotion& f = free_[mass];
    f.push = 0.0;
    f.decay = 0.0;
    const double j = line_.masses[mass].inertia;
    for (const std::size_t b : branches_of_[mass]) {
        const Stacked::BranchNow& now = stacked_.branches()[b];
        for (const RowEntry& entry : line_.branches[b].row) {
            if (static_cast<std::size_t>(entry.inertia) != mass) continue;
            f.push -= entry.factor * (now.offset + now.damping * stacked_.drift(b)) / j;
            f.decay += entry.factor * entry.factor * now.damping / j;
        }
    }
}

/// Brings the free inertias of a branch to the present.
void ExactRun::meet(std::size_t b) {
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (!in_core_[i] && free_[i].time != time_) move_free(i, time_);
    }
}

double ExactRun::twist_now(std::size_t b) const {
    return stacked_.twist(b, time_, angle_);
}

double ExactRun::rate_now(std::size_t b) const {
    return stacked_.rate(b, speed_);
}

/// Coefficients of a branch have changed, couplings not.
void ExactRun::refresh(std::size_t b) {
    bool core = false;
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (in_core_[i]) {
            core = true;
        } else {
            set_free_law(i);
        }
    }
    book_[b].clear_until = std::min(book_[b].clear_until, time_);
    if (core && couples(b) == coupled_[b]) {
        core_.refresh();
        list_metered();
    }
}

/// Keeps the deviations small: see Stacked::turn_on.
void ExactRun::rebase() {
    if (core_masses_.empty()) return;
    const std::size_t lead = core_masses_.front();
    const double speed = line_.masses[lead].reference_speed;
    if (speed == 0.0 || std::abs(angle_[lead]) < largest_deviation) return;
    const double turn = angle_[lead] / speed;
    stacked_.turn_on(turn);
    for (std::size_t i = 0; i < angle_.size(); ++i) {
        angle_[i] -= line_.masses[i].reference_speed * turn;
        free_[i].angle -= line_.masses[i].reference_speed * turn;
    }
}

}  // namespace damper
