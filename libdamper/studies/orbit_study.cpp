// SPDX-License-Identifier: MIT
#include "libdamper/studies/orbit_study.hpp"

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/exact/shooting.hpp"
#include "libdamper/solvers/orbit/repeating_run.hpp"
#include "libdamper/solvers/orbit/shot_motion.hpp"
#include "libdamper/studies/shot_point.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <memory>
#include <numbers>
#include <optional>
#include <utility>

namespace damper {

namespace {

constexpr int orders_kept = 12;  // multiples of the first order of the motion
constexpr int first_harmonics = 12;
constexpr int settling_periods = 30;
constexpr int periods_tried = 4;         // of the first order, in which a motion may repeat
constexpr int points_of_swing = 512;     // of a period, for peaks
constexpr double closing_wanted = 1e-4;  // of the speed swing; beyond, the orbit is polished
constexpr double same_period = 1e-3;     // of the swing: two stretches of a run are the same
constexpr double may_be_closed = 0.1;    // of the swing; what changes more has no period
constexpr int periods_looked_at = 8;     // of the first order, after which a run may repeat
constexpr double edge = 1e-7;

struct Swing {
    double low = 0.0, high = 0.0;
};

Swing swing_of(const Eigen::VectorXd& series, const FourierGrid& grid) {
    const Eigen::VectorXd values = grid.table * resized(series, grid.harmonics);
    return {values.minCoeff(), values.maxCoeff()};
}

/// Amplitudes of the multiples of the first order; the series runs over that many periods of it.
std::vector<double> amplitudes(const Eigen::VectorXd& series, int periods = 1) {
    std::vector<double> out;
    for (int n = periods; n <= periods * orders_kept; n += periods) {
        const bool there = 2 * n < series.size();
        out.push_back(there ? std::hypot(series(2 * n - 1), series(2 * n)) : 0.0);
    }
    return out;
}

OrbitRequest with_held_gears(OrbitRequest request) {
    request.loose_gears = LooseGears::held;
    return request;
}

class Study {
  public:
    Study(const Scenario& scenario, const OrbitStudySettings& settings)
        : settings_(settings),
          family_(course(scenario, settings.request)),
          quiet_(course(scenario, with_held_gears(settings.request))) {
        const Assembled& a = family_->assembled();
        out_.signals = {{"flywheel speed", "rad/s"},
                        {"gearbox input speed", "rad/s"},
                        {"gearbox input acceleration", "rad/s2"},
                        {"disc torque", "N.m"}};
        if (!a.drive_shafts.empty()) out_.signals.push_back({"half shaft torque", "N.m"});
        for (int n = 1; n <= orders_kept; ++n) out_.orders.push_back(n * family_->first_order());
        out_.firing_order = 0.5 * scenario.vehicle.engine.cylinders;
        for (const Assembled::LooseGear& gear : a.loose_gears) {
            out_.gears.push_back(a.line.branches[static_cast<std::size_t>(gear.branch)].name);
        }
        watched_.push_back(static_cast<std::size_t>(a.input_shaft));
        if (settings.request.loose_gears == LooseGears::free) {
            for (const Assembled::LooseGear& gear : a.loose_gears) watched_.push_back(own(gear));
        }
        const OrbitRequest& request = settings.request;
        out_.curve = request.curve == OperatingCurve::neutral ? "neutral"
                     : request.curve == OperatingCurve::pull  ? "pull"
                                                              : "overrun";
        out_.gear = request.curve == OperatingCurve::neutral ? "" : request.gear;
        out_.load = request.curve == OperatingCurve::pull ? request.load : 0.0;
        out_.loose_gears = request.loose_gears == LooseGears::held ? "held" : "free";
        out_.from = request.from;
        out_.to = request.to;
        if (!settings.vary) return;
        const OrbitVary& vary = *settings.vary;
        out_.from = vary.from;
        out_.to = vary.to;
        out_.key = vary.key;
        out_.key_units = vary.units;
        out_.key_multiplies = vary.multiplies;
        out_.engine_speed = vary.speed;
    }

    OrbitRecord run(const Scenario& scenario, const Progress& progress) {
        const Progress half{.report = [&](double share) { progress.tell(0.5 * share); },
                            .stop_requested = progress.stop_requested};
        const std::vector<Found> points = follow(half);
        for (std::size_t k = 0; k < points.size() && !progress.must_stop(); ++k) {
            out_.points.push_back(measured(points[k], progress));
            progress.tell(0.5 + 0.5 * static_cast<double>(k) / static_cast<double>(points.size()));
        }
        find_jumps();
        if (settings_.checks > 0 && !points.empty()) check(scenario, points, progress);
        out_.stopped = progress.must_stop();
        return std::move(out_);
    }

  private:
    [[nodiscard]] std::unique_ptr<OrbitCourse> course(const Scenario& scenario,
                                                      const OrbitRequest& request) const {
        if (settings_.vary) return std::make_unique<VariedCourse>(*settings_.vary, request);
        return std::make_unique<OrbitFamily>(scenario, request);
    }

    /// The inertia that a loose gear is.
    [[nodiscard]] std::size_t own(const Assembled::LooseGear& gear) const {
        const Driveline& line = family_->assembled().line;
        const std::vector<RowEntry>& row = line.branches[static_cast<std::size_t>(gear.branch)].row;
        const auto lightest =
            std::min_element(row.begin(), row.end(), [&](const RowEntry& x, const RowEntry& y) {
                return line.masses[static_cast<std::size_t>(x.inertia)].inertia <
                       line.masses[static_cast<std::size_t>(y.inertia)].inertia;
            });
        return static_cast<std::size_t>(lightest->inertia);
    }

    /// A motion, and where shooting found it, what it does and where an exact run goes on from.
    struct Found {
        CurvePoint curve;
        std::optional<OrbitPoint> shot;
        std::optional<TimeProblem> run;
    };

    /// The motion that there would be without swing. Free teeth hold no mean twist of their gear,
    /// so that the torque which keeps the speed comes from the driveline with held ones.
    [[nodiscard]] PeriodicMotion without_rattle(double speed) const {
        return steady_motion(quiet_->at(speed), first_harmonics);
    }

    /// What an exact run settles to, as a guess for either method.
    struct Settled {
        PeriodicMotion motion;  ///< For harmonic balance.
        std::optional<RepeatingRun> run;
        double amplitude = 0.0;  ///< Of the gearbox input at the firing order [rad/s]

        /// Whether there may be something to close.
        [[nodiscard]] bool may_repeat() const { return run && run->change < may_be_closed; }
    };

    /// Free teeth: from the motion with held ones at that speed, which has the right mean speed and
    /// nearly the right torque. A run that begins elsewhere takes a thousand periods to get there.
    [[nodiscard]] PeriodicMotion before_rattle(double speed, const PeriodicMotion& last) {
        if (settings_.request.loose_gears == LooseGears::held) return last;
        const SolvedMotion held =
            solve_motion(quiet_->at(speed), held_ ? *held_ : without_rattle(speed),
                         {.from = 1.0, .to = 2.0, .most_harmonics = settings_.most_harmonics});
        if (!held.found) return last;
        held_ = held.motion;
        return held.motion;
    }

    Settled settle(double speed, const PeriodicMotion& last) {
        const PeriodicProblem problem = family_->at(speed);
        const PeriodicMotion before = before_rattle(speed, last);
        const TimeProblem time = time_problem(problem, before);
        PeriodicProblem held = problem;
        held.line = time.line;
        const int harmonics = std::max(first_harmonics, last.basis.harmonics);
        Settled out{.motion = resting_motion(problem, harmonics), .run = {}};
        RepeatingRun run = find_repeat(held, time.start,
                                       {.settling = settling_periods,
                                        .most_periods = periods_looked_at,
                                        .same = same_period,
                                        .watched = watched_});
        if (run.why_not.empty()) {
            SettledMotion series = settled_motion(held, run.start, 1, harmonics);
            if (series.why_not.empty()) out.motion = std::move(series.motion);
            out.amplitude = firing_amplitude(held, run.start);
            out.run = std::move(run);
        }
        hold(problem, out.motion, before.balance);
        return out;
    }

    /// Of the gearbox input's speed, over as many periods as are looked at.
    [[nodiscard]] double firing_amplitude(PeriodicProblem problem, const State& start) const {
        problem.omega /= periods_looked_at;
        const SettledMotion series =
            settled_motion(problem, start, 1, orders_kept * periods_looked_at);
        if (!series.why_not.empty()) return 0.0;
        const auto firing =
            static_cast<std::size_t>(std::lround(out_.firing_order / family_->first_order()));
        const std::vector<double> all =
            amplitudes(series.motion.basis.derivative(series.motion.angle(watched_.front())),
                       periods_looked_at);
        return firing >= 1 && firing <= all.size() ? all[firing - 1] : 0.0;
    }

    static void hold(const PeriodicProblem& problem, PeriodicMotion& motion, double balance) {
        motion.balance = balance;
        if (!motion.balanced) return;
        motion.unknowns(static_cast<Eigen::Index>(problem.lead) * motion.basis.size()) = balance;
    }

    /// By shooting, from a state near the motion; nothing if it does not repeat.
    std::optional<Found> shoot(double parameter, const PeriodicMotion& like, const State& guess,
                               const ShotSettings& how, const Progress& progress) {
        const Progress quiet{.report = {}, .stop_requested = progress.stop_requested};
        const PeriodicProblem problem = family_->at(parameter);
        const ShotMotion shot = shoot_motion(problem, like, guess, how, quiet);
        why_no_shot_ = shot.why_not;
        if (!shot.why_not.empty()) return std::nullopt;
        Found out;
        out.curve.parameter = settings_.vary ? parameter : shot.speed;
        out.run = TimeProblem{shot.line, shot.orbit.start, shot.neutral};
        PeriodicProblem held = problem;
        held.line = shot.line;
        const int harmonics = std::max(first_harmonics, like.basis.harmonics);
        SettledMotion series = settled_motion(held, shot.orbit.start, 1, harmonics);
        if (!series.why_not.empty()) return std::nullopt;
        out.curve.motion = std::move(series.motion);
        hold(problem, out.curve.motion, shot.balance);
        out.shot = shot_point(family_->assembled(), shot, orders_kept);
        out.shot->parameter = out.curve.parameter;
        out.shot->engine_torque = family_->mean_torque(out.curve.parameter);
        if (!settings_.stability) out.shot->judged = out.shot->stable = false;
        return out;
    }

    /// The curve piece by piece. Fast is quiet: what nearly swings harmonically is found from rest,
    /// so that it begins at the upper end. Where it breaks off, it is taken up again a little
    /// further down from a motion that an exact run has settled to; where that cannot be balanced,
    /// shooting may find it, one speed after the other.
    std::vector<Found> follow(const Progress& progress) {
        const double top = std::max(out_.from, out_.to);
        const double bottom = std::min(out_.from, out_.to);
        const double stride = settings_.restart_after * (top - bottom);
        const PeriodicFamily family = [this](double speed) { return family_->at(speed); };
        std::vector<Found> all;
        double from = top;
        double gap_from = top;      // where the last piece ended
        std::string why, shooting;  // the last failures of both
        const auto reason = [&] {
            if (shooting.empty() || why.empty()) return why + shooting;
            return why + "; " + shooting;
        };
        Settled near{.motion = without_rattle(top), .run = {}};
        const auto reached = [&](double speed, bool by_shooting) {
            // Motions found one by one stand for the speeds between them.
            const bool one_by_one = by_shooting || (!all.empty() && all.back().shot.has_value());
            if (gap_from > speed && !(one_by_one && gap_from - speed < 1.5 * stride)) {
                out_.gaps.push_back({.low = speed, .high = gap_from, .why = reason()});
            }
        };
        for (bool from_rest = true; !progress.must_stop(); from_rest = false) {
            OrbitCurve piece;
            // Teeth that rattle without a period give harmonic balance nothing to begin with.
            const bool hopeless =
                settings_.request.loose_gears == LooseGears::free && near.run && !near.may_repeat();
            if (from > bottom && !hopeless) {
                piece = follow_orbits(family, near.motion,
                                      {.from = from,
                                       .to = bottom,
                                       .most_harmonics = settings_.most_harmonics,
                                       .largest_step = settings_.largest_step},
                                      progress);
            }
            if (!piece.points.empty()) {
                reached(from, false);
                for (const CurveFold& fold : piece.folds) out_.folds.push_back(fold.parameter);
                for (CurvePoint& point : piece.points) all.push_back({std::move(point), {}, {}});
                gap_from = all.back().curve.parameter;
                shooting.clear();
                from = std::min(from, gap_from);
                if (piece.points.size() != 1) why = piece.why_not;
            } else if (!from_rest) {
                std::optional<Found> shot;
                if (near.may_repeat()) {
                    // As many periods as the run takes; or those by which rattle mostly divides.
                    const int seen = near.run->periods;
                    shot = shoot(from, near.motion, near.run->start,
                                 {.first_periods = std::max(seen, 1),
                                  .most_periods = std::max(periods_tried, seen)},
                                 progress);
                }
                if (shot) {
                    reached(from, true);
                    all.push_back(std::move(*shot));
                    gap_from = from;
                    shooting.clear();
                } else if (!progress.must_stop()) {
                    if (!piece.why_not.empty()) why = piece.why_not;
                    shooting = unsettled(from, near);
                }
            }
            if (piece.complete || (from <= bottom && gap_from <= bottom)) {
                out_.complete = out_.gaps.empty() || out_.gaps.front().high < top;
                return all;
            }
            if (from <= bottom) break;
            // Where there is no way from rest, a settled motion may serve at the same speed.
            if (!from_rest || !piece.points.empty()) from = std::max(bottom, from - stride);
            near = settle(from, all.empty() ? without_rattle(from) : all.back().curve.motion);
        }
        if (!progress.must_stop()) {
            out_.gaps.push_back({.low = bottom, .high = gap_from, .why = reason()});
        }
        return all;
    }

    /// Notes what a run does where nothing that repeats was found; the reason in words.
    std::string unsettled(double parameter, const Settled& near) {
        if (!near.run) return "the exact run to begin with breaks off";
        const RepeatingRun& run = *near.run;
        out_.unsettled.push_back({.parameter = parameter,
                                  .engine_speed = family_->engine_speed(parameter),
                                  .periods = run.nearest,
                                  .change = run.change,
                                  .amplitude = near.amplitude,
                                  .repeats = near.may_repeat()});
        if (near.may_repeat()) return "shooting: " + why_no_shot_;
        return fmt::format(
            "an exact run has no period there: after {} periods it changes least, by {:.0f} % of "
            "its swing",
            run.nearest, 100.0 * run.change);
    }

    OrbitPoint measured(const Found& found, const Progress& progress) {
        if (found.shot) return *found.shot;
        OrbitPoint out = measured(found.curve);
        if (!settings_.stability) return out;
        const PeriodicProblem problem = family_->at(found.curve.parameter);
        const TimeProblem time = time_problem(problem, found.curve.motion);
        if (judge(problem, found.curve.motion, time, out)) return out;
        // The exact solver does not close what harmonic balance has found: its own motion instead.
        const std::optional<Found> shot = shoot(found.curve.parameter, found.curve.motion,
                                                time.start, {.most_periods = 1}, progress);
        if (!shot) return out;
        const bool is_fold = out.is_fold;
        out = *shot->shot;
        out.is_fold = is_fold;
        return out;
    }

    OrbitPoint measured(const CurvePoint& point) {
        const PeriodicProblem problem = family_->at(point.parameter);
        const PeriodicMotion& motion = point.motion;
        const FourierBasis& basis = motion.basis;
        OrbitPoint out{.parameter = point.parameter,
                       .engine_speed = family_->engine_speed(point.parameter),
                       .engine_torque = family_->mean_torque(point.parameter),
                       .holding_torque = motion.balance,
                       .harmonics = basis.harmonics,
                       .truncation = motion.truncation,
                       .mode_changes = motion.switches,
                       .is_fold = point.is_fold,
                       .amplitude = {},
                       .swing = {},
                       .rattle_ratio = {}};
        PeriodicBalance balance(problem, basis.harmonics);
        balance.restart(motion.mode, motion.memory);
        balance.evaluate(motion.unknowns);
        if (grid_.harmonics != 2 * basis.harmonics) {
            grid_ = FourierGrid(2 * basis.harmonics, points_of_swing);
        }
        const Assembled& a = family_->assembled();
        const auto add = [&](const Eigen::VectorXd& series) {
            out.amplitude.push_back(amplitudes(series));
            const Swing swing = swing_of(series, grid_);
            out.swing.push_back(swing.high - swing.low);
        };
        const auto engine = static_cast<std::size_t>(a.engine);
        const auto input = static_cast<std::size_t>(a.input_shaft);
        const Eigen::VectorXd input_speed = basis.derivative(motion.angle(input));
        add(basis.derivative(motion.angle(engine)));
        add(input_speed);
        add(basis.derivative(input_speed));
        add(balance.branch_torque(static_cast<std::size_t>(a.disc_to_input)));
        if (!a.drive_shafts.empty()) {
            add(balance.branch_torque(static_cast<std::size_t>(a.drive_shafts.front())));
        }
        for (const Assembled::LooseGear& gear : a.loose_gears) {
            // The contact carries the drag and what accelerates the gear.
            const Eigen::VectorXd& torque =
                balance.branch_torque(static_cast<std::size_t>(gear.branch));
            const Swing swing = swing_of(torque, grid_);
            const double drag = std::abs(torque(0));
            const double against = torque(0) > 0.0 ? torque(0) - swing.low : swing.high - torque(0);
            out.rattle_ratio.push_back(drag > 0.0 ? against / drag
                                                  : std::numeric_limits<double>::infinity());
        }
        return out;
    }

    /// False if the exact solver does not close the motion.
    bool judge(const PeriodicProblem& problem, const PeriodicMotion& motion,
               const TimeProblem& time, OrbitPoint& out) const {
        const Orbit orbit = find_orbit(time.line, time.start,
                                       {.lead = problem.lead,
                                        .angle = 2.0 * std::numbers::pi / family_->first_order(),
                                        .longest_period = 3.0 * motion.basis.period(),
                                        .most_iterations = 4,
                                        .most_passages = 12,
                                        .tolerance = closing_wanted});
        out.closing_error = orbit.residual;
        if (!orbit.found) return false;
        if (orbit.edge == "grazing") return true;
        out.multiplier = deciding_multiplier(orbit, time.neutral);
        out.judged = true;
        out.stable = out.multiplier < 1.0 - edge;
        return true;
    }

    /// Between a fold where the curve turns to higher speeds and the one where it turns back, up-
    /// and down-sweep differ.
    void find_jumps() {
        for (std::size_t i = 0; i + 1 < out_.folds.size(); i += 2) {
            out_.jumps.push_back({.low = std::min(out_.folds[i], out_.folds[i + 1]),
                                  .high = std::max(out_.folds[i], out_.folds[i + 1])});
        }
    }

    void check(const Scenario& scenario, const std::vector<Found>& points,
               const Progress& progress) {
        OrbitRequest request = settings_.request;
        request.loose_gears = LooseGears::free;
        const std::unique_ptr<OrbitCourse> free = course(scenario, request);
        const auto input = static_cast<std::size_t>(free->assembled().input_shaft);
        double low = points.front().curve.parameter;
        double high = low;
        for (const Found& found : points) {
            low = std::min(low, found.curve.parameter);
            high = std::max(high, found.curve.parameter);
        }
        for (int k = 0; k < settings_.checks && !progress.must_stop(); ++k) {
            const double wanted =
                low + (high - low) * (settings_.checks > 1 ? k / (settings_.checks - 1.0) : 0.5);
            const auto nearest =
                std::min_element(points.begin(), points.end(), [&](const auto& x, const auto& y) {
                    return std::abs(x.curve.parameter - wanted) <
                           std::abs(y.curve.parameter - wanted);
                });
            const OrbitPoint& point =
                out_.points[static_cast<std::size_t>(nearest - points.begin())];
            out_.checks.push_back(
                checked(*free, *nearest, point.periods, point.amplitude[1], input));
            progress.tell(static_cast<double>(k + 1) / settings_.checks);
        }
    }

    OrbitCheck checked(const OrbitCourse& free, const Found& found, int periods,
                       const std::vector<double>& on_curve, std::size_t input) const {
        const CurvePoint& point = found.curve;
        OrbitCheck out;
        out.parameter = point.parameter;
        out.engine_speed = free.engine_speed(point.parameter);
        PeriodicProblem problem = free.at(point.parameter);
        // A series rounds contacts off: where shooting has found the motion, its own state.
        const bool as_shot =
            found.run.has_value() && settings_.request.loose_gears == LooseGears::free;
        const TimeProblem time = as_shot ? *found.run : time_problem(problem, point.motion);
        problem.line = time.line;
        const RepeatingRun run = find_repeat(problem, time.start,
                                             {.settling = settings_.periods_of_check,
                                              .most_periods = std::max(periods, periods_looked_at),
                                              .same = same_period,
                                              .watched = {input}});
        out.trouble = run.why_not;
        if (!out.trouble.empty()) return out;
        out.periods = run.periods;
        out.periodic = run.periods > 0;
        out.period_change = run.change;
        // Amplitudes are those of the whole motion, which may take several periods.
        const int length = out.periodic ? run.periods : periods;
        const int harmonics = std::max(point.motion.basis.harmonics, orders_kept);
        problem.omega /= length;
        const SettledMotion whole = settled_motion(problem, run.start, 1, harmonics * length);
        out.trouble = whole.why_not;
        if (!out.trouble.empty()) return out;
        out.finished = true;
        out.curve = on_curve;
        out.run = amplitudes(whole.motion.basis.derivative(whole.motion.angle(input)), length);
        const auto largest = static_cast<std::size_t>(
            std::max_element(out.curve.begin(), out.curve.end()) - out.curve.begin());
        out.deviation = (out.curve[largest] - out.run[largest]) / std::max(out.run[largest], 1e-12);
        return out;
    }

    OrbitStudySettings settings_;
    std::unique_ptr<OrbitCourse> family_;
    std::unique_ptr<OrbitCourse>
        quiet_;  ///< The same with loose gears held: where to begin with free ones.
    FourierGrid grid_{0, 1};
    std::vector<std::size_t> watched_;    ///< Gearbox input, then loose gears.
    std::optional<PeriodicMotion> held_;  ///< The last one found with held loose gears.
    std::string why_no_shot_;
    OrbitRecord out_;
};

}  // namespace

OrbitRecord find_orbits(const Scenario& scenario, const OrbitStudySettings& settings,
                        const Progress& progress) {
    return Study(scenario, settings).run(scenario, progress);
}

}  // namespace damper
