// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/orbit_curve.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {

constexpr double newton_tolerance = 1e-9;  // of the largest torque
constexpr double parameter_nudge = 1e-6;   // relative, for the derivative over the parameter
constexpr int corrector_steps = 8;
constexpr int easy_steps = 4;  // a step found this quickly lets the next be longer
constexpr double growth = 1.6;
constexpr int samples_per_harmonic = 16;  // of a settled run's last period

/// Coefficients of all inertias with another number of harmonics.
Eigen::VectorXd with_harmonics(const PeriodicMotion& motion, int harmonics) {
    const Eigen::Index old_size = motion.basis.size();
    const Eigen::Index size = 2 * Eigen::Index{harmonics} + 1;
    const Eigen::Index count = motion.unknowns.size() / old_size;
    Eigen::VectorXd out(count * size);
    for (Eigen::Index i = 0; i < count; ++i) {
        out.segment(i * size, size) =
            resized(motion.unknowns.segment(i * old_size, old_size), harmonics);
    }
    return out;
}

/// The parameter where a parabola through three points of the curve turns round.
double turning_point(double s0, double p0, double s1, double p1, double s2, double p2) {
    const double d1 = (p1 - p0) / (s1 - s0);
    const double d2 = (p2 - p1) / (s2 - s1);
    const double curvature = (d2 - d1) / (s2 - s0);
    if (curvature == 0.0) return p1;
    // p(s) = p0 + d1·(s − s0) + curvature·(s − s0)·(s − s1)
    const double s = 0.5 * (s0 + s1) - 0.5 * d1 / curvature;
    return p0 + d1 * (s - s0) + curvature * (s - s0) * (s - s1);
}

class Follower {
  public:
    Follower(const PeriodicFamily& family, const CurveSettings& settings)
        : family_(family), settings_(settings), range_(std::abs(settings.to - settings.from)) {}

    OrbitCurve run(const PeriodicMotion& first, const Progress& progress) {
        const double heading = settings_.to > settings_.from ? 1.0 : -1.0;
        if (!start(first)) return std::move(out_);
        double step = 0.25 * settings_.largest_step;
        double reach = 0.0;  // length of curve behind
        std::vector<double> at{0.0};
        while (static_cast<int>(out_.points.size()) < settings_.most_points) {
            if (progress.must_stop()) {
                out_.why_not = "stopped";
                return std::move(out_);
            }
            const Trial trial = advance(step, heading);
            if (!trial.found) {
                step *= 0.4;
                if (step < settings_.smallest_step) {
                    out_.why_not = trial.why_not;
                    return std::move(out_);
                }
                continue;
            }
            reach += step;
            at.push_back(reach);
            out_.points.push_back({.parameter = trial.parameter, .motion = trial.motion});
            note_fold(at);
            const double done = (trial.parameter - settings_.from) * heading;
            progress.tell(std::clamp(done / range_, 0.0, 1.0));
            if (done >= range_) {
                end_at_end();
                out_.complete = true;
                return std::move(out_);
            }
            if (done < -0.02 * range_) {
                out_.why_not = "the curve goes back beyond its beginning";
                return std::move(out_);
            }
            if (trial.steps <= easy_steps) step = std::min(step * growth, settings_.largest_step);
            if (trial.steps > 5) step *= 0.5;
        }
        out_.why_not = fmt::format("{} points do not reach the end", settings_.most_points);
        return std::move(out_);
    }

  private:
    struct Trial {
        bool found = false;
        std::string why_not;
        double parameter = 0.0;
        PeriodicMotion motion;
        int steps = 0;
    };

    bool start(const PeriodicMotion& first) {
        const SolvedMotion solved = solve_motion(family_(settings_.from), first, settings_);
        if (!solved.found) {
            out_.why_not = solved.why_not;
            return false;
        }
        out_.points.push_back({.parameter = settings_.from, .motion = solved.motion});
        return true;
    }

    /// The last step goes beyond the end: its point is moved back onto it.
    void end_at_end() {
        SolvedMotion solved =
            solve_motion(family_(settings_.to), out_.points.back().motion, settings_);
        if (!solved.found) return;
        out_.points.back().parameter = settings_.to;
        out_.points.back().motion = std::move(solved.motion);
    }

    /// Derivative of motion and parameter along the curve from the last two points (or along the
    /// parameter alone at the first), both scaled, length 1.
    void take_tangent(int harmonics, double heading) {
        const CurvePoint& last = out_.points.back();
        tangent_x_ = Eigen::VectorXd::Zero(with_harmonics(last.motion, harmonics).size());
        tangent_p_ = heading;
        if (out_.points.size() < 2) return;
        const CurvePoint& before = out_.points[out_.points.size() - 2];
        tangent_x_ = weighted(
            with_harmonics(last.motion, harmonics) - with_harmonics(before.motion, harmonics),
            last.motion);
        tangent_p_ = (last.parameter - before.parameter) / range_;
        const double length = std::hypot(tangent_x_.norm(), tangent_p_);
        tangent_x_ /= length;
        tangent_p_ /= length;
    }

    /// Twists by their scale; the balancing torque does not count.
    [[nodiscard]] Eigen::VectorXd weighted(Eigen::VectorXd x, const PeriodicMotion& like) const {
        x /= settings_.angle_scale;
        const Eigen::Index size = x.size() / (like.unknowns.size() / like.basis.size());
        if (like.balanced) x(static_cast<Eigen::Index>(like.lead) * size) = 0.0;
        return x;
    }

    Trial advance(double step, double heading) {
        const CurvePoint& last = out_.points.back();
        int harmonics = last.motion.basis.harmonics;
        // Harmonics that are needed no more cost time; those that will be needed come in below.
        if (last.motion.truncation < 0.05 * settings_.truncation) {
            harmonics = std::max(settings_.least_harmonics, harmonics * 3 / 4);
        }
        for (;;) {
            Trial trial = correct(step, heading, harmonics);
            if (!trial.found || trial.motion.truncation <= settings_.truncation) return trial;
            if (harmonics >= settings_.most_harmonics) {
                trial.found = false;
                trial.why_not = fmt::format(
                    "{} harmonics leave {:.2g} of the motion out: contacts open and close too "
                    "sharply for harmonic balance",
                    harmonics, trial.motion.truncation);
                return trial;
            }
            harmonics = std::min(settings_.most_harmonics, harmonics * 3 / 2 + 2);
        }
    }

    Trial correct(double step, double heading, int harmonics) {
        Trial trial;
        const CurvePoint& last = out_.points.back();
        take_tangent(harmonics, heading);
        const Eigen::VectorXd from = with_harmonics(last.motion, harmonics);
        Eigen::VectorXd x = from + step * settings_.angle_scale * tangent_x_;
        if (last.motion.balanced) {
            // The weighting has taken it out of the tangent.
            const auto at =
                static_cast<Eigen::Index>(last.motion.lead) * (2 * Eigen::Index{harmonics} + 1);
            x(at) = from(at);
        }
        double p = last.parameter + step * range_ * tangent_p_;
        const Eigen::VectorXd x_predicted = x;
        const double p_predicted = p;
        Eigen::VectorXd by_p;
        for (trial.steps = 0; trial.steps <= corrector_steps; ++trial.steps) {
            PeriodicBalance balance(family_(p), harmonics);
            balance.restart(last.motion.mode, last.motion.memory);
            ++out_.evaluations;
            if (!balance.evaluate(x)) {
                trial.why_not = balance.why_not();
                return trial;
            }
            const Eigen::VectorXd residual = balance.residual();
            if (residual.norm() <= newton_tolerance * balance.torque_scale()) {
                trial.found = true;
                trial.parameter = p;
                trial.motion = balance.motion(x);
                return trial;
            }
            if (trial.steps == corrector_steps) break;
            if (!balance.factorise()) {
                trial.why_not = balance.why_not();
                return trial;
            }
            if (trial.steps == 0) {
                // It changes little from iteration to iteration: once a step is enough.
                // Into the range: what lies beyond an end need not exist.
                const double size = parameter_nudge * std::max(std::abs(p), 1e-3 * range_);
                const bool at_end = p + size > std::max(settings_.from, settings_.to);
                const double nudge = at_end ? -size : size;
                PeriodicBalance moved(family_(p + nudge), harmonics);
                moved.restart(last.motion.mode, last.motion.memory);
                ++out_.evaluations;
                if (!moved.evaluate(x)) {
                    trial.why_not = moved.why_not();
                    return trial;
                }
                by_p = (moved.residual() - residual) / nudge;
            }
            const Eigen::VectorXd a = balance.solve(residual);
            const Eigen::VectorXd b = balance.solve(by_p);
            const double off = tangent_x_.dot(weighted(x - x_predicted, last.motion)) +
                               tangent_p_ * (p - p_predicted) / range_;
            const double denominator =
                tangent_p_ / range_ - tangent_x_.dot(weighted(b, last.motion));
            const double dp = (-off + tangent_x_.dot(weighted(a, last.motion))) / denominator;
            if (!std::isfinite(dp) || std::abs(dp) > 0.2 * range_) {
                trial.why_not = "the curve is lost";
                return trial;
            }
            x += -a - dp * b;
            p += dp;
        }
        trial.why_not = "harmonic balance does not settle: contacts open and close too sharply";
        return trial;
    }

    void note_fold(const std::vector<double>& at) {
        const std::size_t n = out_.points.size();
        if (n < 3) return;
        const double p0 = out_.points[n - 3].parameter;
        const double p1 = out_.points[n - 2].parameter;
        const double p2 = out_.points[n - 1].parameter;
        if ((p1 - p0) * (p2 - p1) >= 0.0) return;
        out_.points[n - 2].is_fold = true;
        out_.folds.push_back(
            {.parameter = turning_point(at[n - 3], p0, at[n - 2], p1, at[n - 1], p2),
             .point = n - 2});
    }

    const PeriodicFamily& family_;
    CurveSettings settings_;
    double range_;
    OrbitCurve out_;
    Eigen::VectorXd tangent_x_;
    double tangent_p_ = 0.0;
};

/// Takes the deviations of all inertias at even steps.
class AngleSamples final : public Sink {
  public:
    explicit AngleSamples(const Driveline& line) : line_(line) {}
    void sample(const Instant& instant) override {
        std::vector<double> row;
        for (std::size_t i = 0; i < line_.masses.size(); ++i) {
            row.push_back(instant.angle[i] +
                          line_.masses[i].reference_speed * instant.stacked->turn());
        }
        rows.push_back(std::move(row));
    }
    std::vector<std::vector<double>> rows;

  private:
    const Driveline& line_;
};

}  // namespace

SolvedMotion solve_motion(const PeriodicProblem& problem, const PeriodicMotion& guess,
                          const CurveSettings& settings) {
    SolvedMotion out;
    PeriodicMotion now = guess;
    int harmonics = std::max(settings.least_harmonics, guess.basis.harmonics);
    for (;;) {
        PeriodicBalance balance(problem, harmonics);
        if (!now.mode.empty()) balance.restart(now.mode, now.memory);
        const BalanceOutcome found =
            solve_balance(balance, with_harmonics(now, harmonics), {.tolerance = newton_tolerance});
        if (!found.converged) {
            out.why_not = found.why_not;
            return out;
        }
        now = balance.motion(found.unknowns);
        if (now.truncation <= settings.truncation) break;
        if (harmonics >= settings.most_harmonics) {
            out.why_not = fmt::format("{} harmonics leave {:.2g} of the motion out", harmonics,
                                      now.truncation);
            return out;
        }
        harmonics = std::min(settings.most_harmonics, harmonics * 3 / 2 + 2);
    }
    out.found = true;
    out.motion = std::move(now);
    return out;
}

PeriodicMotion resting_motion(const PeriodicProblem& problem, int harmonics) {
    PeriodicMotion out{.basis = {.harmonics = harmonics, .omega = problem.omega},
                       .unknowns = {},
                       .mode = problem.start.mode,
                       .memory = problem.start.memory};
    out.balanced = problem.balanced_at >= 0;
    out.lead = problem.lead;
    const auto count = static_cast<Eigen::Index>(problem.line.masses.size());
    out.unknowns = Eigen::VectorXd::Zero(count * out.basis.size());
    const double lead = problem.start.angle[problem.lead];
    const double lead_speed = problem.line.masses[problem.lead].reference_speed;
    for (Eigen::Index i = 0; i < count; ++i) {
        const auto k = static_cast<std::size_t>(i);
        const double turn =
            lead_speed > 0.0 ? problem.line.masses[k].reference_speed / lead_speed : 0.0;
        out.unknowns(i * out.basis.size()) =
            problem.start.angle[k] - (out.balanced ? turn * lead : 0.0);
    }
    return out;
}

PeriodicMotion steady_motion(const PeriodicProblem& problem, int harmonics) {
    PeriodicProblem still = problem;
    for (Input& input : still.line.inputs) {
        if (auto* crank = std::get_if<CrankTorque>(&input.source)) crank->harmonics.clear();
        if (auto* sine = std::get_if<SineTorque>(&input.source)) sine->amplitude = 0.0;
    }
    PeriodicBalance balance(still, 1);
    const BalanceOutcome found = solve_balance(balance, resting_motion(still, 1).unknowns);
    if (!found.converged) return resting_motion(problem, harmonics);
    PeriodicMotion out = balance.motion(found.unknowns);
    out.unknowns = with_harmonics(out, harmonics);
    out.basis.harmonics = harmonics;
    return out;
}

SettledMotion settled_motion(const PeriodicProblem& problem, const State& start, int periods,
                             int harmonics) {
    SettledMotion settled;
    PeriodicMotion& out = settled.motion;
    out = resting_motion(problem, harmonics);
    const FourierBasis& basis = out.basis;
    State begin = start;
    const double before = basis.period() * (periods - 1);
    if (before > 0.0) {
        const TimeOutcome run = solve_exact(
            problem.line, begin, {.end = begin.time + before, .sample_step = before}, nullptr);
        if (!run.report.complete) {
            settled.why_not = run.report.warnings.front();
            return settled;
        }
        begin = run.end;
    }
    const int points = samples_per_harmonic * harmonics;
    AngleSamples samples(problem.line);
    // Half a step more, so that rounding does not cost the sample at the end of the period.
    const double step = basis.period() / points;
    const TimeOutcome run = solve_exact(
        problem.line, begin, {.end = begin.time + basis.period() + 0.5 * step, .sample_step = step},
        &samples);
    if (!run.report.complete || samples.rows.size() <= static_cast<std::size_t>(points)) {
        settled.why_not = run.report.complete ? "too few samples" : run.report.warnings.front();
        return settled;
    }
    const double speed = problem.line.masses[problem.lead].reference_speed;
    const FourierGrid grid(harmonics, points);
    const auto count = static_cast<Eigen::Index>(problem.line.masses.size());
    double lead_mean = 0.0;
    for (int pass = 0; pass < 2; ++pass) {  // the lead's mean angle first
        for (Eigen::Index i = 0; i < count; ++i) {
            const auto k = static_cast<std::size_t>(i);
            if (pass == 0 && k != problem.lead) continue;
            Eigen::VectorXd values(points);
            for (int s = 0; s < points; ++s) {
                values(s) = samples.rows[static_cast<std::size_t>(s)][k];
            }
            // What drifts in a period is no part of a periodic motion.
            const double slope =
                (samples.rows[static_cast<std::size_t>(points)][k] - samples.rows[0][k]) / points;
            for (int s = 0; s < points; ++s) values(s) -= slope * (s - 0.5 * points);
            Eigen::VectorXd series = 2.0 / points * (grid.table.transpose() * values);
            series(0) *= 0.5;
            if (pass == 0) {
                lead_mean = series(0);
                continue;
            }
            if (out.balanced) {
                series(0) -= lead_mean * problem.line.masses[k].reference_speed / speed;
                if (k == problem.lead) series(0) = 0.0;
            }
            out.unknowns.segment(i * basis.size(), basis.size()) = series;
        }
    }
    out.mode = begin.mode;
    out.memory = begin.memory;
    settled.start = begin;
    return settled;
}

OrbitCurve follow_orbits(const PeriodicFamily& family, const PeriodicMotion& first,
                         const CurveSettings& settings, const Progress& progress) {
    if (settings.to == settings.from || !(settings.largest_step > 0.0) ||
        settings.least_harmonics < 1 || settings.most_harmonics < settings.least_harmonics) {
        throw ModelError("a curve needs two ends, a step and a number of harmonics");
    }
    return Follower(family, settings).run(first, progress);
}

}  // namespace damper
