// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/repeating_run.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr int samples_per_period = 128;
constexpr double smallest_swing = 1e-3;  // of the largest: what swings less is judged by this

class SpeedSamples final : public Sink {
  public:
    explicit SpeedSamples(const std::vector<std::size_t>& watched)
        : rows(watched.size()), watched_(watched) {}
    void sample(const Instant& now) override {
        for (std::size_t w = 0; w < watched_.size(); ++w) rows[w].push_back(now.speed[watched_[w]]);
    }
    std::vector<std::vector<double>> rows;

  private:
    const std::vector<std::size_t>& watched_;
};

/// Root mean square about the mean of the first `count` values of `value(s)`.
template <class Value>
double deviation(std::size_t count, const Value& value) {
    double mean = 0.0;
    for (std::size_t s = 0; s < count; ++s) mean += value(s) / static_cast<double>(count);
    double square = 0.0;
    for (std::size_t s = 0; s < count; ++s) square += std::pow(value(s) - mean, 2.0);
    return std::sqrt(square / static_cast<double>(count));
}

}  // namespace

RepeatingRun find_repeat(const PeriodicProblem& problem, const State& start,
                         const RepeatSettings& settings) {
    if (settings.watched.empty() || settings.most_periods < 1 || settings.settling < 0) {
        throw ModelError("whether a run repeats is asked of an inertia and a number of periods");
    }
    RepeatingRun out{.why_not = {}, .start = start};
    const double period = 2.0 * std::numbers::pi / problem.omega;
    if (settings.settling > 0) {
        const double before = period * settings.settling;
        const TimeOutcome run = solve_exact(
            problem.line, start, {.end = start.time + before, .sample_step = before}, nullptr);
        if (!run.report.complete) {
            out.why_not = run.report.warnings.front();
            return out;
        }
        out.start = run.end;
    }
    const auto window = static_cast<std::size_t>(settings.most_periods) * samples_per_period;
    const double step = period / samples_per_period;
    SpeedSamples samples(settings.watched);
    const double length = 2.0 * settings.most_periods * period;
    const TimeOutcome run =
        solve_exact(problem.line, out.start,
                    {.end = out.start.time + length + 0.5 * step, .sample_step = step}, &samples);
    if (!run.report.complete || samples.rows[0].size() < 2 * window) {
        out.why_not = run.report.complete ? "too few samples" : run.report.warnings.front();
        return out;
    }
    std::vector<double> swing;
    for (const std::vector<double>& row : samples.rows) {
        swing.push_back(deviation(window, [&](std::size_t s) { return row[s]; }));
    }
    const double least = smallest_swing * *std::max_element(swing.begin(), swing.end());
    for (int p = 1; p <= settings.most_periods; ++p) {
        const std::size_t later = static_cast<std::size_t>(p) * samples_per_period;
        double change = 0.0;
        for (std::size_t w = 0; w < swing.size(); ++w) {
            const std::vector<double>& row = samples.rows[w];
            const double by =
                deviation(window, [&](std::size_t s) { return row[s + later] - row[s]; });
            change = std::max(change, by / std::max({swing[w], least, 1e-12}));
        }
        if (p == 1 || change < out.change) {
            out.change = change;
            out.nearest = p;
        }
        if (change > settings.same) continue;
        out.periods = p;
        return out;
    }
    return out;
}

}  // namespace damper
