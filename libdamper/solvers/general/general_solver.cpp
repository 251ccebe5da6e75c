// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/general_solver.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/general/equations.hpp"
#include "libdamper/solvers/general/error_measure.hpp"
#include "libdamper/solvers/general/guard_watch.hpp"

#include <algorithm>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <utility>

namespace damper {

namespace {

namespace odeint = boost::numeric::odeint;
using Vector = std::vector<double>;
using Stepper = odeint::runge_kutta_dopri5<Vector>;

constexpr double angle_per_speed = 1e-3;     // s: angles are held to tolerance × speed × this
constexpr double least_speed = 1e-3;         // rad/s: below this nothing is resolved further
constexpr double largest_deviation = 1e-2;   // rad that angles may deviate before they are rebased
constexpr int switches_in_place = 64;        // without time passing: the modes go round for ever
constexpr int corrections = 8;               // of the time of a switch
constexpr int small_steps_at_most = 1000;    // in a row, far below what the run asks for
constexpr std::int64_t between_looks = 256;  // steps between progress reports

using Adjuster = odeint::default_step_adjuster<double, double>;
using Controlled = odeint::controlled_runge_kutta<Stepper, ErrorMeasure, Adjuster>;
using Dense = odeint::dense_output_runge_kutta<Controlled>;

class GeneralRun {
  public:
    GeneralRun(const Driveline& line, const State& start, const TimeSettings& settings, Sink* sink,
               const Progress& progress)
        : line_(line),
          settings_(settings),
          sink_(sink),
          progress_(progress),
          state_(start),
          stacked_(line),
          equations_(line, stacked_, state_),
          watch_(stacked_),
          log_(stacked_, sink, settings.crank),
          dense_(Controlled(ErrorMeasure(&allowed_), Adjuster(settings.largest_step))) {
        if (!(settings.end > start.time) || !(settings.sample_step > 0.0) ||
            !(settings.tolerance > 0.0) || !(settings.largest_step > 0.0)) {
            throw ModelError(
                "a run needs an end after its start, and positive steps and tolerance");
        }
        stacked_.set(state_);
        y_.assign(equations_.size(), 0.0);
        std::copy(start.angle.begin(), start.angle.end(), y_.begin());
        std::copy(start.speed.begin(), start.speed.end(),
                  y_.begin() + static_cast<std::ptrdiff_t>(start.angle.size()));
        slope_.resize(y_.size());
        trial_.resize(y_.size());
        trial_slope_.resize(y_.size());
        allowed_.assign(y_.size(), 1.0);
        input_.resize(line.inputs.size());
        time_ = start.time;
        run_start_ = start.time;
        start_stored_ = stored();
        start_speed_ = start.speed;
        report_.method = "general: Runge-Kutta 5(4) with dense output and guards";
        report_.tolerance = settings.tolerance;
        report_.smallest_step = settings.end - start.time;
        watch_.on_piece = [this](double t, const Vector& y) { note_peaks(t, y); };
        for (const Input& input : line.inputs) {
            for (const double kink : breakpoints(input.source)) kinks_.push_back(kink);
        }
        kinks_.push_back(settings.end);
        std::sort(kinks_.begin(), kinks_.end());
    }

    TimeOutcome run() {
        emit_start();
        try {
            while (time_ < settings_.end) {
                if (!advance()) break;
                if (report_.steps % between_looks == 0 && !look_up()) break;
            }
        } catch (const SolverError& error) {
            report_.warnings.emplace_back(error.what());
        } catch (const odeint::odeint_error& error) {
            report_.warnings.push_back(fmt::format(
                "stopped at t = {:.6g} s: the step size fell below what the tolerance allows ({})",
                time_, error.what()));
        }
        report_.complete = time_ >= settings_.end;
        return finish();
    }

  private:
    /// One accepted step, cut at the first guard or kink inside it.
    bool advance() {
        widen_allowance();
        if (restart_) {
            rebase();
            const double left = settings_.end - time_;
            dense_.initialize(y_, time_, std::min(first_guess(), left));
            restart_ = false;
        }
        slope_known_ = false;
        dense_.do_step(std::cref(equations_));
        ++report_.steps;
        const double reached = dense_.current_time();
        if (!all_finite(dense_.current_state())) {
            throw SolverError(fmt::format("stopped at t = {:.6g} s: a number grew beyond all "
                                          "bounds",
                                          time_),
                              time_, "");
        }
        watch_step_size(dense_.current_time_step());
        const double bound = std::min(reached, next_kink());
        const auto interpolant = [this](double t, Vector& y) {
            y.resize(y_.size());
            dense_.calc_state(t, y);
        };
        const std::optional<Firing> firing = watch_.first(time_, bound, interpolant);
        const double stop = firing ? firing->time : bound;
        emit_samples(stop);
        if (firing) {
            switch_mode(*firing);
        } else if (bound < reached) {
            retake(stop);
            accept(stop);
            restart_ = true;
        } else {
            y_ = dense_.current_state();
            accept(reached);
        }
        return true;
    }

    void accept(double t) {
        report_.smallest_step = std::min(report_.smallest_step, std::max(t - time_, 0.0));
        if (t > time_) switches_here_ = 0;
        last_step_ = std::max(dense_.current_time_step(), 0.0);
        time_ = t;
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

    /// The step again, with exactly this end. Leaves the end in trial_ and its slope.
    void retake(double t) {
        if (!slope_known_) equations_(y_, slope_, time_);
        slope_known_ = true;
        stepper_.do_step(std::cref(equations_), y_, slope_, time_, trial_, trial_slope_, t - time_);
        std::swap(y_, trial_);
    }

    /// The interpolant says about when; retaken steps say exactly when. Near a contact that hardly
    /// pushes the two differ by more than the guard's value, so the root is bracketed anew.
    void switch_mode(const Firing& firing) {
        double t = firing.time;
        if (!(t > time_)) {
            fire(firing.guard, time_);
            return;
        }
        const Vector before = y_;
        double early = time_;
        double late = dense_.current_time();
        bool falls = true;
        for (int i = 0; i <= corrections; ++i) {
            y_ = before;
            retake(t);
            const auto [value, slope] = guard_motion(firing.guard, t);
            (value > 0.0 ? early : late) = t;
            falls = value <= 0.0 || slope < 0.0;
            double better = slope < 0.0 ? t - value / slope : late;
            const bool settled = std::abs(better - t) <= 1e-15 + 4e-16 * std::abs(t);
            if (i == corrections || settled) break;
            if (!(better > early && better < late)) better = 0.5 * (early + late);
            t = better;
        }
        if (falls) {
            fire(firing.guard, t);
        } else {  // the interpolant saw a fall that the steps do not
            accept(t);
            restart_ = true;
        }
    }

    /// Value and slope of a guard at the end of a retaken step.
    std::pair<double, double> guard_motion(const Stacked::GuardNow& guard, double t) const {
        const std::size_t n = equations_.masses();
        const double delta = stacked_.twist(guard.branch, t, {y_.data(), n});
        const double rate = stacked_.rate(guard.branch, {y_.data() + n, n});
        double acceleration = 0.0;
        for (const RowEntry& entry : line_.branches[guard.branch].row) {
            acceleration +=
                entry.factor * trial_slope_[n + static_cast<std::size_t>(entry.inertia)];
        }
        return {guard.at(delta, rate), guard.twist * rate + guard.rate * acceleration};
    }

    void fire(const Stacked::GuardNow& guard, double t) {
        const std::size_t n = equations_.masses();
        const std::size_t b = guard.branch;
        const double delta = stacked_.twist(b, t, {y_.data(), n});
        const double rate = stacked_.rate(b, {y_.data() + n, n});
        const int from = state_.mode[guard.part];
        const double stored_before = stacked_.stored(b, state_, delta);
        stacked_.fire(guard, state_, delta);
        // What a parting face or a giving spring still held has become heat.
        y_[equations_.heat_at(b)] += stored_before - stacked_.stored(b, state_, delta);
        ++report_.mode_changes;
        const std::size_t impulse = equations_.impulse_at(guard.part);
        log_.change(t, {y_.data(), n}, guard.part, from, state_.mode[guard.part], rate,
                    impulse > 0 ? y_[impulse] : 0.0, y_[equations_.heat_at(b)]);
        accept(t);
        restart_ = true;
        if (++switches_here_ > switches_in_place) {
            const std::string& name = stacked_.parts()[guard.part].part->name;
            throw SolverError(fmt::format("stopped at t = {:.6g} s: \"{}\" switched {} times "
                                          "without time passing",
                                          t, name, switches_in_place),
                              t, name);
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

    /// Scales of the errors, from the largest values met so far.
    void widen_allowance() {
        const std::size_t n = equations_.masses();
        for (std::size_t i = 0; i < n; ++i) top_speed_ = std::max(top_speed_, std::abs(y_[n + i]));
        for (std::size_t i = 2 * n; i < y_.size(); ++i) {
            top_book_ = std::max(top_book_, std::abs(y_[i]));
        }
        const double tol = settings_.tolerance;
        for (std::size_t i = 0; i < y_.size(); ++i) {
            const double scale = i < n       ? top_speed_ * angle_per_speed
                                 : i < 2 * n ? top_speed_
                                             : top_book_;
            allowed_[i] = tol * scale;
        }
    }

    [[nodiscard]] double first_guess() const {
        return last_step_ > 0.0 ? last_step_ : 1e-3 * settings_.largest_step;
    }

    [[nodiscard]] double next_kink() const {
        const auto kink = std::upper_bound(kinks_.begin(), kinks_.end(), time_);
        return kink == kinks_.end() ? settings_.end : *kink;
    }

    void emit_start() {
        equations_(y_, slope_, time_);
        emit(time_, y_, slope_);
        next_sample_ = 1;
    }

    /// Samples up to `stop`, from the interpolant of the step just taken.
    void emit_samples(double stop) {
        // Rounding must not cost the sample at the end of the run.
        const double last =
            stop < settings_.end ? stop : settings_.end + 1e-9 * settings_.sample_step;
        while (true) {
            const double t = run_start_ + static_cast<double>(next_sample_) * settings_.sample_step;
            if (t > last) return;
            dense_.calc_state(t, trial_);
            equations_(trial_, trial_slope_, t);
            emit(t, trial_, trial_slope_);
            ++next_sample_;
        }
    }

    void emit(double t, const Vector& y, const Vector& slope) {
        if (sink_ == nullptr) return;
        const std::size_t n = equations_.masses();
        equations_.inputs({y.data(), n}, t, input_);
        sink_->sample({.time = t,
                       .angle = {y.data(), n},
                       .speed = {y.data() + n, n},
                       .acceleration = {slope.data() + n, n},
                       .input = input_,
                       .stacked = &stacked_});
    }

    void note_peaks(double t, const Vector& y) {
        const std::size_t n = equations_.masses();
        for (const std::size_t part : log_.open()) {
            const std::size_t b = stacked_.parts()[part].branch;
            log_.torque(part, stacked_.torque(b, stacked_.twist(b, t, {y.data(), n}),
                                              stacked_.rate(b, {y.data() + n, n})));
        }
    }

    bool look_up() {
        progress_.tell((time_ - run_start_) / (settings_.end - run_start_));
        if (!progress_.must_stop()) return true;
        report_.warnings.push_back(fmt::format("stopped on request at t = {:.6g} s", time_));
        return false;
    }

    [[nodiscard]] std::vector<double> stored() const {
        std::vector<double> out;
        const std::size_t n = equations_.masses();
        for (std::size_t b = 0; b < line_.branches.size(); ++b) {
            out.push_back(stacked_.stored(b, state_, stacked_.twist(b, time_, {y_.data(), n})));
        }
        return out;
    }

    [[nodiscard]] static bool all_finite(const Vector& y) {
        return std::all_of(y.begin(), y.end(), [](double v) { return std::isfinite(v); });
    }

    TimeOutcome finish() {
        const std::size_t n = equations_.masses();
        const std::vector<std::size_t> open = log_.open();
        for (const std::size_t part : open) {
            log_.finish(time_, part, y_[equations_.impulse_at(part)],
                        y_[equations_.heat_at(stacked_.parts()[part].branch)]);
        }
        TimeOutcome out;
        out.energy = books();
        state_.time = time_;
        state_.angle.assign(y_.begin(), y_.begin() + static_cast<std::ptrdiff_t>(n));
        for (std::size_t i = 0; i < n; ++i) {
            state_.angle[i] += line_.masses[i].reference_speed * stacked_.turn();
        }
        state_.speed.assign(y_.begin() + static_cast<std::ptrdiff_t>(n),
                            y_.begin() + static_cast<std::ptrdiff_t>(2 * n));
        out.end = state_;
        report_.end_time = time_;
        report_.evaluations = equations_.evaluations();
        out.report = std::move(report_);
        return out;
    }

    [[nodiscard]] EnergyBook books() const {
        EnergyBook book;
        const std::size_t n = equations_.masses();
        const std::vector<double> now = stored();
        for (std::size_t b = 0; b < now.size(); ++b) {
            book.entries.push_back({.element = line_.branches[b].name,
                                    .dissipated = y_[equations_.heat_at(b)],
                                    .stored_change = now[b] - start_stored_[b]});
        }
        for (std::size_t s = 0; s < line_.smooth.size(); ++s) {
            book.entries.push_back(
                {.element = line_.smooth[s].name, .dissipated = y_[equations_.smooth_heat_at(s)]});
        }
        for (std::size_t u = 0; u < line_.inputs.size(); ++u) {
            book.entries.push_back(
                {.element = line_.inputs[u].name, .supplied = y_[equations_.work_at(u)]});
        }
        book.entries.push_back(kinetic_gain(line_, start_speed_, {y_.data() + n, n}));
        return book;
    }

    const Driveline& line_;
    TimeSettings settings_;
    Sink* sink_;
    const Progress& progress_;
    State state_;
    Stacked stacked_;
    Equations equations_;
    GuardWatch watch_;
    ContactLog log_;
    Vector allowed_;
    Dense dense_;
    Stepper stepper_;
    Vector y_, slope_, trial_, trial_slope_, input_;
    std::vector<double> kinks_, start_stored_, start_speed_;
    double time_ = 0.0;
    double run_start_ = 0.0;
    bool slope_known_ = false;
    double last_step_ = 0.0;
    double top_speed_ = least_speed;
    double top_book_ = 1.0;
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
