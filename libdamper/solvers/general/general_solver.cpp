// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/general_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/general/equations.hpp"
#include "libdamper/solvers/general/face_watch.hpp"
#include "libdamper/solvers/general/guard_watch.hpp"
#include "libdamper/solvers/general/step.hpp"
#include "libdamper/solvers/general/step_books.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

using Vector = std::vector<double>;

constexpr double angle_per_speed = 1e-3;     // s: angles are held to tolerance × speed × this
constexpr double least_speed = 1e-3;         // rad/s: below this nothing is resolved further
constexpr double largest_deviation = 1e-2;   // rad that angles may deviate before they are rebased
constexpr double first_size = 1e-3;          // of the first step, of the largest one
constexpr int switches_in_place = 64;        // without time passing: the modes go round for ever
constexpr int corrections = 8;               // of the time of a switch
constexpr double shift_share = 1e-3;         // of the allowed error, by shifting an end
constexpr int small_steps_at_most = 1000;    // in a row, far below what the run asks for
constexpr std::int64_t between_looks = 256;  // steps between progress reports

const TimeSettings& checked(const TimeSettings& settings, double start) {
    if (!(settings.end > start) || !(settings.sample_step > 0.0) || !(settings.tolerance > 0.0) ||
        !(settings.largest_step > 0.0)) {
        throw ModelError("a run needs an end after its start, and positive steps and tolerance");
    }
    return settings;
}

Stacked stacked_in(const Driveline& line, const State& state) {
    Stacked stacked(line);
    stacked.set(state);
    return stacked;
}

class GeneralRun {
  public:
    GeneralRun(const Driveline& line, const State& start, const TimeSettings& settings, Sink* sink,
               const Progress& progress)
        : line_(line),
          settings_(checked(settings, start.time)),
          sink_(sink),
          progress_(progress),
          state_(start),
          stacked_(stacked_in(line, start)),
          equations_(line, stacked_),
          step_(equations_, settings.largest_step, first_size * settings.largest_step),
          watch_(stacked_),
          face_watch_(line.masses.size()),
          books_(stacked_, start),
          log_(stacked_, sink, settings.crank),
          y_(start.angle),
          time_(start.time),
          run_start_(start.time) {
        y_.insert(y_.end(), start.speed.begin(), start.speed.end());
        trial_.resize(y_.size());
        trial_slope_.resize(y_.size());
        report_.method = "general: Runge-Kutta 5(4) with dense output and guards";
        report_.tolerance = settings.tolerance;
        report_.smallest_step = settings.end - start.time;
        for (const Input& input : line.inputs) {
            for (const double kink : breakpoints(input.source)) kinks_.push_back(kink);
        }
        for (const FaceBranch& faces : line.faces) {
            for (const double kink : faces.law.load.at) kinks_.push_back(kink);
        }
        begin_faces();
        kinks_.push_back(settings.end);
        std::sort(kinks_.begin(), kinks_.end());
    }

    TimeOutcome run() {
        if (sink_ != nullptr) {
            emit(time_, y_);
            next_sample_ = 1;
        }
        try {
            while (time_ < settings_.end) {
                advance();
                if (report_.steps % between_looks == 0 && !look_up()) break;
            }
        } catch (const SolverError& error) {
            report_.warnings.emplace_back(error.what());
        }
        report_.complete = time_ >= settings_.end;
        return finish();
    }

  private:
    /// One step, up to the first guard inside it or the next kink.
    void advance() {
        const Step::Allowed allowed = allowance();
        if (restart_) {
            rebase();
            step_.start(y_, time_);
            while (const auto torn =
                       FaceWatch::torn(equations_.rows().front(), equations_, time_)) {
                rub(*torn);
                step_.start(y_, time_);
            }
            restart_ = false;
        }
        const double limit = next_kink();
        step_.take(limit, allowed);
        ++report_.steps;
        if (!all_finite(step_.end())) {
            throw SolverError(fmt::format("stopped at t = {:.6g} s: a number grew beyond all "
                                          "bounds",
                                          time_),
                              time_, "");
        }
        watch_step_size(step_.next_size());
        const std::optional<Firing> firing = watch_.first(step_, equations_);
        const std::optional<FaceWatch::Change> change =
            line_.faces.empty() ? std::nullopt : face_watch_.first(step_, equations_, top_speed_);
        if (change && (!firing || change->time < firing->time)) {
            change_faces(*change);
        } else if (firing) {
            switch_mode(*firing, allowed);
        } else {
            accept();
            restart_ = time_ >= limit;
        }
    }

    /// What the faces do at the start. Faces that are said to stick do so if they have no rate.
    void begin_faces() {
        const std::vector<Rubbing> moving = rubbing_at(line_, state_.speed);
        if (state_.rubbing.size() != moving.size()) state_.rubbing = moving;
        for (std::size_t f = 0; f < moving.size(); ++f) {
            constexpr double hair = 1e-9;  // rad/s
            const double rate = rate_of(line_, line_.faces[f].row, state_.speed.data());
            if (std::abs(rate) > hair) state_.rubbing[f] = moving[f];
            equations_.rub(f, state_.rubbing[f]);
        }
    }

    /// The step is taken again with an end where the faces change; secants correct the time.
    void change_faces(const FaceWatch::Change& change) {
        double t = change.time;
        if (t > time_) {
            const double late = step_.to();
            double before = time_;
            double value_before = FaceWatch::value(change, equations_.rows().front());
            for (int i = 0; i <= corrections; ++i) {
                step_.retake(t);
                const Equations::Row& end = equations_.rows().back();
                const double value = FaceWatch::value(change, end);
                const double floor = FaceWatch::rounding(change, end, equations_, top_speed_);
                if (std::abs(value) <= floor || value == value_before) break;
                const double better = t - value * (t - before) / (value - value_before);
                if (!(better > time_ && better <= late) || std::abs(better - t) <= resolution(t)) {
                    break;
                }
                before = t;
                value_before = value;
                t = better;
            }
            accept();
        }
        rub(change);
        restart_ = true;
    }

    void rub(const FaceWatch::Change& change) {
        const std::size_t f = change.face;
        const int from = static_cast<int>(state_.rubbing[f]);
        state_.rubbing[f] = change.to;
        equations_.rub(f, change.to);
        if (change.to == Rubbing::sticking) take_rate_away(f);
        ++report_.mode_changes;
        log_.rub(time_, f, from, static_cast<int>(change.to));
        if (++switches_here_ > switches_in_place) {
            throw SolverError(fmt::format("stopped at t = {:.6g} s: \"{}\" switched {} times "
                                          "without time passing",
                                          time_, line_.faces[f].name, switches_in_place),
                              time_, line_.faces[f].name);
        }
    }

    /// What the located end of slip leaves of the rate: an impulse between the faces takes it away.
    void take_rate_away(std::size_t f) {
        const FaceBranch& faces = line_.faces[f];
        const std::size_t n = equations_.masses();
        const double impulse =
            rate_of(line_, faces.row, y_.data() + n) * faces.reduced_inertia(line_.masses);
        for (const RowEntry& e : faces.row) {
            const auto i = static_cast<std::size_t>(e.inertia);
            y_[n + i] -= e.factor * impulse / line_.masses[i].inertia;
        }
    }

    /// Takes the step over as it now is.
    void accept() {
        books_.add(step_, equations_, log_);
        if (sink_ != nullptr) emit_samples(step_.to());
        step_.go_on();
        y_ = step_.start();
        report_.smallest_step =
            std::min(report_.smallest_step, std::max(step_.from() - time_, 0.0));
        if (step_.from() > time_) switches_here_ = 0;
        time_ = step_.from();
    }

    /// Steps that would take for ever end the run instead. Single ones are no harm: the end of the
    /// run may lie close behind a switch.
    void watch_step_size(double step) {
        const double least =
            std::min(1e-9 * settings_.largest_step, 1e-11 * (settings_.end - run_start_));
        small_steps_ = step < least ? small_steps_ + 1 : 0;
        if (small_steps_ <= small_steps_at_most) return;
        const std::string name = stiffest();
        throw SolverError(fmt::format("stopped at t = {:.6g} s: the steps fell below {:.1g} s; "
                                      "\"{}\" is too stiff or too damped for its inertias",
                                      time_, least, name),
                          time_, name);
    }

    /// The element with the fastest motion of its own.
    [[nodiscard]] std::string stiffest() const {
        std::string name;
        double fastest = -1.0;
        for (std::size_t b = 0; b < line_.branches.size(); ++b) {
            double flexibility = 0.0;  // of the inertias, seen from the element [1/(kg m²)]
            for (const RowEntry& entry : line_.branches[b].row) {
                flexibility += entry.factor * entry.factor /
                               line_.masses[static_cast<std::size_t>(entry.inertia)].inertia;
            }
            const Stacked::BranchNow& now = stacked_.branches()[b];
            const double rate =
                std::max(std::sqrt(now.spring * flexibility), now.damping * flexibility);
            if (rate > fastest) {
                fastest = rate;
                name = line_.branches[b].name;
            }
        }
        return name;
    }

    /// The interpolant says about when; a step with just this end says what is left of the guard
    /// there. Near a contact that hardly pushes the two differ by more than the guard's value, so
    /// the root is bracketed anew. What is left is mostly so little that the slopes at the end lead
    /// the rest of the way; else the step is taken again.
    void switch_mode(const Firing& firing, const Step::Allowed& allowed) {
        double t = firing.time;
        if (!(t > time_)) {
            fire(firing.guard);
            return;
        }
        double early = time_;
        double late = step_.to();
        bool falls = true;
        for (int i = 0; i <= corrections; ++i) {
            step_.retake(t);
            const GuardMotion now = motion_of(firing.guard);
            (now.value > 0.0 ? early : late) = t;
            falls = now.value <= 0.0 || now.slope < 0.0;
            double better = now.slope < 0.0 ? t - now.value / now.slope : late;
            const bool settled = std::abs(better - t) <= resolution(t);
            if (i == corrections || settled) break;
            if (!(better > early && better < late)) {
                better = 0.5 * (early + late);
            } else if (step_.shift_error(2.0 * (better - t)) <= shift_share * allowed.speed) {
                shift_to(firing.guard, better - t);
                break;
            }
            t = better;
        }
        accept();
        if (falls) {
            fire(firing.guard);
        } else {  // the interpolant saw a fall that the steps do not
            restart_ = true;
        }
    }

    /// Two shifts: what the first one leaves of the guard is second order in it.
    void shift_to(const Stacked::GuardNow& guard, double dt) {
        step_.shift(dt);
        const GuardMotion left = motion_of(guard);
        const double more = -left.value / left.slope;
        if (left.slope < 0.0 && std::abs(more) < 0.5 * std::abs(dt)) step_.shift(more);
    }

    [[nodiscard]] static double resolution(double t) { return 1e-15 + 4e-16 * std::abs(t); }

    struct GuardMotion {
        double value = 0.0;
        double slope = 0.0;
    };
    /// Value and slope of a guard at the end of the step.
    [[nodiscard]] GuardMotion motion_of(const Stacked::GuardNow& guard) const {
        const std::size_t n = equations_.masses();
        const Vector& y = step_.end();
        const double delta = stacked_.twist(guard.branch, step_.to(), {y.data(), n});
        const double rate = stacked_.rate(guard.branch, {y.data() + n, n});
        double acceleration = 0.0;
        for (const RowEntry& entry : line_.branches[guard.branch].row) {
            acceleration +=
                entry.factor * step_.end_slope()[n + static_cast<std::size_t>(entry.inertia)];
        }
        return {guard.at(delta, rate), guard.twist * rate + guard.rate * acceleration};
    }

    void fire(const Stacked::GuardNow& firing) {
        const Stacked::GuardNow guard = firing;  // the modes' own list changes below
        const std::size_t n = equations_.masses();
        const std::size_t b = guard.branch;
        const double delta = stacked_.twist(b, time_, {y_.data(), n});
        const double rate = stacked_.rate(b, {y_.data() + n, n});
        const int from = state_.mode[guard.part];
        const double stored_before = stacked_.stored(b, state_, delta);
        stacked_.fire(guard, state_, delta);
        equations_.refresh(b);
        watch_.refresh(b);
        books_.refresh(b, state_);
        // What a parting face or a giving spring still held has become heat.
        books_.add_heat(b, stored_before - stacked_.stored(b, state_, delta));
        ++report_.mode_changes;
        log_.change(time_, {y_.data(), n}, guard.part, from, state_.mode[guard.part], rate,
                    books_.impulse(guard.part), books_.heat(b));
        restart_ = true;
        if (++switches_here_ > switches_in_place) {
            const std::string& name = stacked_.parts()[guard.part].part->name;
            throw SolverError(fmt::format("stopped at t = {:.6g} s: \"{}\" switched {} times "
                                          "without time passing",
                                          time_, name, switches_in_place),
                              time_, name);
        }
    }

    /// Keeps the deviations small: see Stacked::turn_on. Only where the stepper starts anew.
    void rebase() {
        for (std::size_t i = 0; i < equations_.masses(); ++i) {
            const double speed = line_.masses[i].reference_speed;
            if (speed == 0.0) continue;
            if (std::abs(y_[i]) < largest_deviation) return;
            const double turn = y_[i] / speed;
            for (std::size_t j = 0; j < equations_.masses(); ++j) {
                y_[j] -= line_.masses[j].reference_speed * turn;
            }
            stacked_.turn_on(turn);
            return;
        }
    }

    /// Errors that a step may have, from the largest speeds met so far.
    [[nodiscard]] Step::Allowed allowance() {
        const std::size_t n = equations_.masses();
        for (std::size_t i = n; i < 2 * n; ++i) top_speed_ = std::max(top_speed_, std::abs(y_[i]));
        const double speed = settings_.tolerance * top_speed_;
        return {.angle = speed * angle_per_speed, .speed = speed};
    }

    [[nodiscard]] double next_kink() const {
        const auto kink = std::upper_bound(kinks_.begin(), kinks_.end(), time_);
        return kink == kinks_.end() ? settings_.end : *kink;
    }

    /// Samples up to `stop`, from the interpolant of the step at hand.
    void emit_samples(double stop) {
        // Rounding must not cost the sample at the end of the run.
        const double last =
            stop < settings_.end ? stop : settings_.end + 1e-9 * settings_.sample_step;
        while (true) {
            const double t = run_start_ + static_cast<double>(next_sample_) * settings_.sample_step;
            if (t > last) return;
            step_.at(t, trial_);
            emit(t, trial_);
            ++next_sample_;
        }
    }

    void emit(double t, const Vector& y) {
        const std::size_t n = equations_.masses();
        const Equations::Row& met = equations_.aside(y, trial_slope_, t);
        sink_->sample({.time = t,
                       .angle = {y.data(), n},
                       .speed = {y.data() + n, n},
                       .acceleration = {trial_slope_.data() + n, n},
                       .input = met.input_torque,
                       .face_torque = met.face_torque,
                       .stacked = &stacked_});
    }

    bool look_up() {
        progress_.tell((time_ - run_start_) / (settings_.end - run_start_));
        if (!progress_.must_stop()) return true;
        report_.warnings.push_back(fmt::format("stopped on request at t = {:.6g} s", time_));
        return false;
    }

    [[nodiscard]] static bool all_finite(const Vector& y) {
        return std::all_of(y.begin(), y.end(), [](double v) { return std::isfinite(v); });
    }

    TimeOutcome finish() {
        const std::size_t n = equations_.masses();
        const std::vector<std::size_t> open = log_.open();
        for (const std::size_t part : open) {
            log_.finish(time_, part, books_.impulse(part),
                        books_.heat(stacked_.parts()[part].branch));
        }
        TimeOutcome out;
        std::vector<double> twist;
        for (std::size_t b = 0; b < line_.branches.size(); ++b) {
            twist.push_back(stacked_.twist(b, time_, {y_.data(), n}));
        }
        out.energy = books_.close(state_, twist, {y_.data() + n, n});
        state_.time = time_;
        state_.angle.assign(y_.begin(), y_.begin() + static_cast<std::ptrdiff_t>(n));
        for (std::size_t i = 0; i < n; ++i) {
            state_.angle[i] += line_.masses[i].reference_speed * stacked_.turn();
        }
        state_.speed.assign(y_.begin() + static_cast<std::ptrdiff_t>(n),
                            y_.begin() + static_cast<std::ptrdiff_t>(2 * n));
        out.end = state_;
        report_.end_time = time_;
        report_.rejected = step_.rejected();
        report_.evaluations = equations_.evaluations();
        out.report = std::move(report_);
        return out;
    }

    const Driveline& line_;
    TimeSettings settings_;
    Sink* sink_;
    const Progress& progress_;
    State state_;
    Stacked stacked_;
    Equations equations_;
    Step step_;
    GuardWatch watch_;
    FaceWatch face_watch_;
    StepBooks books_;
    ContactLog log_;
    Vector y_;  ///< Where the run has got to.
    Vector trial_, trial_slope_;
    std::vector<double> kinks_;
    double time_ = 0.0;
    double run_start_ = 0.0;
    double top_speed_ = least_speed;
    std::int64_t next_sample_ = 0;
    int switches_here_ = 0;
    int small_steps_ = 0;
    bool restart_ = true;
    SolverReport report_;
};

}  // namespace

TimeOutcome solve_general(const Driveline& line, const State& start, const TimeSettings& settings,
                          Sink* sink, const Progress& progress) {
    return GeneralRun(line, start, settings, sink, progress).run();
}

}  // namespace damper
