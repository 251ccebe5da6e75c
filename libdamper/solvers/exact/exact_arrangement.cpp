// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_run.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr double largest_deviation = 1e-3;  // rad that angles may deviate before they are rebased

}  // namespace

ExactRun::ExactRun(const Driveline& line, const State& start, const TimeSettings& settings,
                   Sink* sink, const Progress& progress, StretchWatcher* watcher,
                   std::optional<AngleStop> stop)
    : kernel_(best_kernel()),
      line_(line),
      settings_(settings),
      sink_(sink),
      progress_(progress),
      watcher_(watcher),
      stop_(stop),
      state_(start),
      stacked_(line),
      log_(stacked_, sink, settings.crank),
      core_(stacked_, kernel_),
      angle_(start.angle),
      speed_(start.speed),
      start_speed_(start.speed) {
    if (!(settings.end > start.time) || !(settings.sample_step > 0.0) ||
        !(settings.largest_step > 0.0)) {
        throw ModelError("a run needs an end after its start, and positive steps");
    }
    const auto finite = [](double x) { return std::isfinite(x); };
    for (const auto* list : {&start.angle, &start.speed, &start.memory}) {
        if (!std::all_of(list->begin(), list->end(), finite)) {
            throw ModelError("a run needs finite angles and speeds to start from");
        }
    }
    const std::size_t n = line.masses.size();
    time_ = run_start_ = start.time;
    free_.resize(n);
    for (auto* v : {&acceleration_, &sample_angle_, &sample_speed_, &cap_}) v->assign(n, 0.0);
    node_speed_.assign(Kernel::most_places * core_.widest(), 0.0);
    input_.resize(line.inputs.size());
    slopes_.resize(line.inputs.size());
    work_.assign(line.inputs.size(), 0.0);
    smooth_heat_.assign(line.smooth.size(), 0.0);
    book_.resize(line.branches.size());
    branches_of_.resize(n);
    core_masses_.reserve(n);
    for (auto* v : {&core_branches_, &guarded_, &due_, &metered_, &contacts_})
        v->reserve(book_.size());
    for (std::size_t b = 0; b < line.branches.size(); ++b) {
        for (const RowEntry& entry : row(b)) {
            branches_of_[static_cast<std::size_t>(entry.inertia)].push_back(b);
        }
    }
    for (std::size_t p = 0; p < stacked_.parts().size(); ++p) {
        const Stacked::PartPlace& place = stacked_.parts()[p];
        if (place.part->law.counts_impacts) book_[place.branch].contact = p;
        if (place.part->law.modes.size() > 1 &&
            (guarded_.empty() || guarded_.back() != place.branch)) {
            guarded_.push_back(place.branch);
        }
    }
    std::vector<int> ties_of_faces(n, 0);
    for (const Input& input : line.inputs) {
        for (const double kink : breakpoints(input.source)) {
            if (kink > time_ && kink < settings.end) kinks_.push_back(kink);
        }
    }
    for (const FaceBranch& faces : line.faces) {
        for (const double kink : faces.law.load.at) {
            if (kink > time_ && kink < settings.end) kinks_.push_back(kink);
        }
        for (const RowEntry& entry : faces.row)
            ++ties_of_faces[static_cast<std::size_t>(entry.inertia)];
        for (const FaceModulation& one : faces.modulations) {
            for (const RowEntry& entry : one.row) {
                ++ties_of_faces[static_cast<std::size_t>(entry.inertia)];
            }
        }
    }
    kinks_.push_back(settings.end);
    std::sort(kinks_.begin(), kinks_.end());

    ties_ = ties_of_faces;
    for (const Input& input : line.inputs) {
        for (const RowEntry& entry : input.row()) ++ties_[static_cast<std::size_t>(entry.inertia)];
    }
    for (const SmoothBranch& branch : line.smooth) {
        ++ties_[static_cast<std::size_t>(branch.reference)];
        for (const RowEntry& entry : branch.row) ++ties_[static_cast<std::size_t>(entry.inertia)];
    }
    stacked_.set(state_);
    for (std::size_t b = 0; b < book_.size(); ++b) {
        BranchBook& book = book_[b];
        book.law = stacked_.branches()[b];
        book.heat_now = stacked_.heat(b, state_);
        book.mark = stacked_.twist(b, time_, angle_);
        start_stored_.push_back(stacked_.stored(b, state_, book.mark));
        book.coupled = couples(b);
        if (book.coupled) tie(b, 1);
    }
    for (std::size_t i = 0; i < n; ++i) free_[i] = {time_, angle_[i], speed_[i], 0.0, 0.0};
    in_core_.assign(n, 1);  // arrange() then gives every free inertia its law
    begin_faces();
    arrange();
    report_.method =
        fmt::format("exact: power series between mode changes ({} kernel)", kernel_.name);
    report_.smallest_step = settings.end - start.time;
}

/// A branch that ties its inertias' motions together, or holds one against the ground.
bool ExactRun::couples(std::size_t b) const {
    const Stacked::BranchNow& now = stacked_.branches()[b];
    if (now.spring != 0.0) return true;
    return now.damping != 0.0 && row(b).size() > 1;
}

void ExactRun::tie(std::size_t b, int change) {
    for (const RowEntry& entry : row(b)) ties_[static_cast<std::size_t>(entry.inertia)] += change;
}

/// Sorts the inertias into the core and the free ones, after couplings have changed.
void ExactRun::arrange() {
    bool moved = false;
    for (std::size_t i = 0; i < ties_.size(); ++i) {
        const bool wanted = ties_[i] > 0;
        if (wanted == (in_core_[i] != 0)) continue;
        moved = true;
        if (wanted) {
            move_free(i, time_);
        } else {
            free_[i] = {time_, angle_[i], speed_[i], 0.0, 0.0};
            set_free_law(i);
        }
        in_core_[i] = wanted ? 1 : 0;
        for (const std::size_t b : branches_of_[i]) book_[b].clear_until = 0.0;
    }
    if (moved || report_.steps == 0) list_core();
    core_.choose(core_masses_, core_branches_);
    list_metered();
}

void ExactRun::list_core() {
    core_masses_.clear();
    for (std::size_t i = 0; i < in_core_.size(); ++i) {
        if (in_core_[i]) core_masses_.push_back(i);
    }
    core_branches_.clear();
    for (std::size_t b = 0; b < book_.size(); ++b) {
        book_[b].mixed = false;
        book_[b].in_core = false;
        for (const RowEntry& entry : row(b)) {
            const bool inside = in_core_[static_cast<std::size_t>(entry.inertia)] != 0;
            book_[b].in_core = book_[b].in_core || inside;
            book_[b].mixed = book_[b].mixed || !inside;
        }
        if (book_[b].in_core) core_branches_.push_back(b);
    }
}

/// Mixed branches are uncoupled: what drags there belongs to free inertias, who book it themselves.
void ExactRun::list_metered() {
    metered_.clear();
    contacts_.clear();
    for (const std::size_t b : core_branches_) {
        if (book_[b].mixed) continue;
        if (book_[b].heat_now.rate != 0.0) metered_.push_back(b);
        if (book_[b].contact != none && book_[b].law.spring != 0.0) contacts_.push_back(b);
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
        for (const RowEntry& entry : row(b)) {
            if (static_cast<std::size_t>(entry.inertia) != mass) continue;
            f.push -= entry.factor * (now.offset + now.damping * stacked_.drift(b)) / j;
            f.decay += entry.factor * entry.factor * now.damping / j;
        }
    }
}

/// A branch has changed its coefficients: the motion goes on with the new ones.
void ExactRun::take_law(std::size_t b) {
    BranchBook& book = book_[b];
    const Stacked::BranchNow& now = stacked_.branches()[b];
    const bool same = now == book.law;
    if (!same) {
        for (const RowEntry& entry : row(b)) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            if (!in_core_[i]) set_free_law(i);
        }
    }
    book.law = now;
    book.heat_now = stacked_.heat(b, state_);
    book.fresh_at = time_;
    book.clear_until = 0.0;
    const bool coupled = couples(b);
    if (coupled != book.coupled) {
        book.coupled = coupled;
        tie(b, coupled ? 1 : -1);
        arrange();
    } else if (book.in_core && !same) {
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
