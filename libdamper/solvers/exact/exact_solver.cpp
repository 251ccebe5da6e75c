// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/exact/core_motion.hpp"
#include "libdamper/solvers/exact/free_motion.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"
#include "libdamper/solvers/exact/torque_series.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <span>
#include <utility>

namespace damper {

namespace {

constexpr std::size_t terms = CoreMotion::most_orders + 1;
constexpr double phase_per_step = 1.3;    // rad of the quickest motion in a step
constexpr double torque_phase = 0.8;      // rad of the quickest torque harmonic in a step
constexpr double cap_growth = 2.0;        // of the acceleration bound on which clear times rest
constexpr double longest_clear = 5e-3;    // s that a gap is left unwatched at most
constexpr double guard_rounding = 1e-13;  // of a guard's own terms
constexpr double guard_fresh = 1e-9;      // of a guard's own terms, right after a switch beside it
constexpr double largest_deviation = 1e-3;  // rad that angles may deviate before they are rebased
constexpr double rate_rounding = 1e-13;     // of the largest speed: what rounding leaves of a rate
constexpr int switches_in_place = 64;
constexpr std::int64_t switches_per_window = 1000000;
constexpr double window = 1e-3;  // s
constexpr std::int64_t between_looks = 256;
constexpr std::size_t free_terms = 12;  // of a free inertia's series; its drag is slow

using Coefficients = std::array<double, terms>;

struct Fired {
    std::size_t branch = 0;
    std::size_t guard = 0;  ///< Index into Stacked::guards(branch).
    double s = 0.0;
};

class ExactRun {
  public:
    ExactRun(const Driveline& line, const State& start, const TimeSettings& settings, Sink* sink,
             const Progress& progress);
    TimeOutcome run();

  private:
    /// What the run keeps about a branch.
    struct BranchBook {
        Stacked::HeatNow heat_now;
        double heat = 0.0;           ///< [J]
        double mark = 0.0;           ///< Twist from which constant losses are still to be booked.
        double impulse = 0.0;        ///< Of a contact [N m s].
        double clear_until = 0.0;    ///< No guard fires before, as long as the caps hold [s].
        bool fresh = false;          ///< A part of it has just switched.
        bool mixed = false;          ///< Touches an inertia outside the core.
        std::size_t contact = none;  ///< Its part that counts impacts.
    };
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    void arrange();
    void refresh(std::size_t branch);
    void set_free_law(std::size_t mass);
    [[nodiscard]] bool couples(std::size_t branch) const;

    bool step();
    [[nodiscard]] double wanted_step() const;
    void hold_caps();
    [[nodiscard]] std::optional<Fired> first_firing(double h);
    void check_branch(std::size_t b, double h, std::optional<Fired>& first);
    [[nodiscard]] double clear_time(std::size_t b, std::span<const double> delta, double h) const;
    std::size_t twist_series(std::size_t b, double h, Coefficients& delta);
    [[nodiscard]] double bound_left() const;
    void book_step(double h, double s_end);
    void book_contact(std::size_t b, double h, double s_end);
    void list_metered();
    void fire(const Fired& fired);
    void book_constant(std::size_t b, double delta);
    void move_free(std::size_t mass, double t);
    void emit_samples(double h, double until);
    void emit(double t, double s);
    [[nodiscard]] double twist_now(std::size_t b) const;
    [[nodiscard]] double rate_now(std::size_t b) const;
    void meet(std::size_t b);
    void rebase();
    /// Time as uniform rotation goes: angles deviate from reference_speed·clock().
    [[nodiscard]] double clock() const { return time_ + stacked_.turn(); }
    bool look_up();
    TimeOutcome finish();
    [[nodiscard]] EnergyBook books() const;

    const Driveline& line_;
    TimeSettings settings_;
    Sink* sink_;
    const Progress& progress_;
    State state_;
    Stacked stacked_;
    ContactLog log_;
    std::vector<TorqueSeries> series_;
    CoreMotion core_;
    std::vector<FreeMotion> free_;  ///< Of inertias outside the core.
    std::vector<double> angle_, speed_, acceleration_,
        input_;                ///< angle_, speed_: of the core, now.
    std::vector<double> cap_;  ///< Bound of the acceleration of core inertias [rad/s²].
    std::vector<BranchBook> book_;
    std::vector<std::vector<std::size_t>> branches_of_;  ///< Of each inertia.
    std::vector<std::size_t> core_masses_, core_branches_;
    std::vector<std::size_t> metered_;   ///< Core branches with losses that grow with the rate.
    std::vector<std::size_t> contacts_;  ///< Core branches whose impacts are counted.
    std::vector<double> node_speed_;
    std::vector<bool> in_core_, wanted_, coupled_;
    std::vector<Coefficients> delta_of_;  ///< Twist series of each branch that was looked at.
    std::vector<double> sample_angle_, sample_speed_;
    double rounding_ = 0.0;  ///< What rounding of angles leaves of the twist looked at last [rad].
    std::vector<double> work_;  ///< Of inputs [J]
    std::vector<double> kinks_, start_stored_, start_speed_;
    Coefficients delta_{}, part_{}, guard_{};
    double time_ = 0.0, run_start_ = 0.0, top_speed_ = 1e-3;
    double window_end_ = 0.0;
    std::int64_t window_switches_ = 0;
    std::int64_t next_sample_ = 0;
    int switches_here_ = 0;
    SolverReport report_;
};

std::vector<TorqueSeries> series_of(const Driveline& line) {
    std::vector<TorqueSeries> out;
    for (const Input& input : line.inputs) out.emplace_back(input.source);
    return out;
}

ExactRun::ExactRun(const Driveline& line, const State& start, const TimeSettings& settings,
                   Sink* sink, const Progress& progress)
    : line_(line),
      settings_(settings),
      sink_(sink),
      progress_(progress),
      state_(start),
      stacked_(line),
      log_(stacked_),
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
    delta_of_.resize(line.branches.size());
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

/// Series of a branch's twist over the step; returns how many terms there are.
std::size_t ExactRun::twist_series(std::size_t b, double h, Coefficients& delta) {
    const std::size_t n = core_masses_.empty() ? free_terms : core_.orders() + 1;
    std::fill_n(delta.begin(), n, 0.0);
    rounding_ = 0.0;
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        if (in_core_[i]) {
            for (std::size_t k = 0; k < n; ++k) delta[k] += entry.factor * core_.theta(k, i);
        } else {
            const std::size_t m = std::min(n, free_terms);
            free_[i].series(h, std::span<double>(part_).first(m));
            for (std::size_t k = 0; k < m; ++k) delta[k] += entry.factor * part_[k];
        }
        rounding_ += std::abs(entry.factor * angle_[i]);
    }
    const double drift = stacked_.drift(b);
    delta[0] += drift * clock();
    delta[1] += drift * h;
    rounding_ = 4e-16 * (rounding_ + std::abs(drift * clock()));
    return n;
}

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

/// Clear times rest on bounds of the core's accelerations. A step that breaks a bound makes every
/// gap beside that inertia due again, in this very step.
void ExactRun::hold_caps() {
    for (const std::size_t i : core_masses_) {
        const double bound = core_.acceleration_bound(i);
        if (bound > cap_[i]) {
            cap_[i] = cap_growth * bound;
            for (const std::size_t b : branches_of_[i]) {
                book_[b].clear_until = std::min(book_[b].clear_until, time_);
            }
        } else if (16.0 * bound < cap_[i]) {
            cap_[i] *= 0.5;  // gaps cleared under the larger bound stay cleared under it
        }
    }
}

std::optional<Fired> ExactRun::first_firing(double h) {
    std::optional<Fired> first;
    for (std::size_t b = 0; b < book_.size(); ++b) {
        if (stacked_.guards(b).empty() || book_[b].clear_until >= time_ + h) continue;
        if (book_[b].mixed) meet(b);
        check_branch(b, h, first);
    }
    return first;
}

void ExactRun::check_branch(std::size_t b, double h, std::optional<Fired>& first) {
    Coefficients& delta = delta_of_[b];
    const std::size_t n = twist_series(b, h, delta);
    double swing = 0.0, rate_swing = 0.0;
    for (std::size_t k = 1; k < n; ++k) {
        const double term = std::abs(delta[k]);
        swing += term;
        rate_swing += static_cast<double>(k) * term;
    }
    rate_swing = (rate_swing - std::abs(delta[1])) / h;
    const double rate0 = delta[1] / h;
    const auto guards = stacked_.guards(b);
    for (std::size_t g = 0; g < guards.size(); ++g) {
        const Stacked::GuardNow& guard = guards[g];
        const double value = guard.at(delta[0], rate0);
        const double size = std::abs(guard.offset) + std::abs(guard.twist * delta[0]) +
                            std::abs(guard.rate * rate0);
        const double floor = (book_[b].fresh ? guard_fresh : guard_rounding) * size +
                             std::abs(guard.twist) * rounding_;
        const double reach = std::abs(guard.twist) * swing + std::abs(guard.rate) * rate_swing;
        if (value > reach + floor) continue;
        for (std::size_t k = 0; k < n; ++k) {
            const double rate = k + 1 < n ? static_cast<double>(k + 1) * delta[k + 1] / h : 0.0;
            guard_[k] = guard.twist * delta[k] + guard.rate * rate;
        }
        guard_[0] = value;
        const double slope_floor =
            book_[b].fresh ? std::abs(guard.twist) * h * rate_rounding * top_speed_ : 0.0;
        const std::optional<double> s =
            firing(std::span<const double>(guard_).first(n), floor, slope_floor);
        if (s && (!first || *s < first->s)) first = Fired{b, g, *s};
    }
    book_[b].clear_until = time_ + clear_time(b, delta, h);
}

/// How long no guard of a branch with a free inertia can fall to zero, whatever the core does
/// within its caps.
double ExactRun::clear_time(std::size_t b, std::span<const double> delta, double h) const {
    double acceleration = 0.0;
    for (const RowEntry& entry : line_.branches[b].row) {
        const auto i = static_cast<std::size_t>(entry.inertia);
        const double bound =
            in_core_[i] ? cap_[i] : std::abs(free_[i].push - free_[i].decay * free_[i].speed);
        acceleration += std::abs(entry.factor) * bound;
    }
    const double rate = delta[1] / h;
    double clear = longest_clear;
    for (const Stacked::GuardNow& guard : stacked_.guards(b)) {
        const double value = guard.at(delta[0], rate);
        if (!(value > 0.0)) return 0.0;
        const double closing = -guard.twist * rate + std::abs(guard.rate) * acceleration;
        const double bend = 0.5 * std::abs(guard.twist) * acceleration;
        const double root = std::sqrt(closing * closing + 4.0 * bend * value);
        if (closing + root > 0.0) clear = std::min(clear, 2.0 * value / (closing + root));
    }
    return clear;
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
    log_.change(time_, guard.part, from, state_.mode[guard.part], rate, book_[b].impulse,
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

double ExactRun::bound_left() const {
    const auto kink = std::upper_bound(kinks_.begin(), kinks_.end(), time_);
    return (kink == kinks_.end() ? settings_.end : *kink) - time_;
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
    out.events = log_.take();
    report_.end_time = time_;
    report_.evaluations = report_.steps;
    out.report = std::move(report_);
    return out;
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
    EnergyBook::Entry kinetic{.element = "inertias"};
    for (std::size_t i = 0; i < speed_.size(); ++i) {
        const double gain = speed_[i] - start_speed_[i];
        const double mean = line_.masses[i].reference_speed + 0.5 * (speed_[i] + start_speed_[i]);
        kinetic.stored_change += line_.masses[i].inertia * mean * gain;
    }
    book.entries.push_back(kinetic);
    return book;
}

}  // namespace

std::optional<std::string> exact_forbidden_by(const Driveline& line) {
    if (line.smooth.empty()) return std::nullopt;
    return fmt::format("\"{}\" is a smooth law of its speed ({})", line.smooth.front().name,
                       kind(line.smooth.front().law));
}

TimeOutcome solve_exact(const Driveline& line, const State& start, const TimeSettings& settings,
                        Sink* sink, const Progress& progress) {
    if (const auto reason = exact_forbidden_by(line)) {
        throw ModelError("the exact solver cannot take this driveline: " + *reason);
    }
    return ExactRun(line, start, settings, sink, progress).run();
}

}  // namespace damper
