// SPDX-License-Identifier: MIT
#include "libdamper/studies/shot_point.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>
#include <vector>

namespace damper {

namespace {

constexpr int points_per_period = 4096;  // contacts of some 10 µs are seen in periods of some 10 ms
constexpr double edge = 1e-7;            // a multiplier this close to 1 decides nothing

/// One row a signal, one column a sample.
class SignalSamples final : public Sink {
  public:
    explicit SignalSamples(const Assembled& assembled) : a_(assembled) {
        branches_.push_back(a_.disc_to_input);
        if (!a_.drive_shafts.empty()) branches_.push_back(a_.drive_shafts.front());
        for (const Assembled::LooseGear& gear : a_.loose_gears) branches_.push_back(gear.branch);
        rows.resize(3 + branches_.size());
    }
    void sample(const Instant& now) override {
        rows[0].push_back(now.speed[static_cast<std::size_t>(a_.engine)]);
        rows[1].push_back(now.speed[static_cast<std::size_t>(a_.input_shaft)]);
        rows[2].push_back(now.acceleration[static_cast<std::size_t>(a_.input_shaft)]);
        for (std::size_t i = 0; i < branches_.size(); ++i) {
            const auto b = static_cast<std::size_t>(branches_[i]);
            rows[3 + i].push_back(now.stacked->torque(b, now.stacked->twist(b, now.time, now.angle),
                                                      now.stacked->rate(b, now.speed)));
        }
    }
    std::vector<std::vector<double>> rows;

  private:
    const Assembled& a_;
    std::vector<int> branches_;
};

/// Amplitude of a sampled periodic signal at `n` waves in its period.
double amplitude(const std::vector<double>& values, int n) {
    const auto count = static_cast<double>(values.size());
    double cosine = 0.0;
    double sine = 0.0;
    for (std::size_t s = 0; s < values.size(); ++s) {
        const double at = 2.0 * std::numbers::pi * n * static_cast<double>(s) / count;
        cosine += values[s] * std::cos(at);
        sine += values[s] * std::sin(at);
    }
    return 2.0 / count * std::hypot(cosine, sine);
}

/// The contact carries the drag and what accelerates the gear.
double rattle_ratio(const std::vector<double>& torque) {
    const auto [low, high] = std::minmax_element(torque.begin(), torque.end());
    double mean = 0.0;
    for (const double value : torque) mean += value / static_cast<double>(torque.size());
    if (mean == 0.0) return std::numeric_limits<double>::infinity();
    return mean > 0.0 ? (mean - *low) / mean : (*high - mean) / -mean;
}

}  // namespace

OrbitPoint shot_point(const Assembled& assembled, const ShotMotion& shot, int orders) {
    OrbitPoint out;
    out.method = OrbitMethod::shooting;
    out.periods = shot.periods;
    out.engine_speed = shot.speed;
    out.holding_torque = shot.balance;
    out.mode_changes = static_cast<int>(shot.orbit.mode_changes);
    out.closing_error = shot.orbit.residual;
    const State& start = shot.orbit.start;
    const int count = points_per_period * shot.periods;
    const double step = shot.orbit.period / count;
    SignalSamples samples(assembled);
    // Half a step short of the end of the period, which is its beginning.
    const TimeOutcome run = solve_exact(
        shot.line, start, {.end = start.time + shot.orbit.period - 0.5 * step, .sample_step = step},
        &samples);
    for (std::vector<double>& row : samples.rows) {
        if (!run.report.complete || row.size() < static_cast<std::size_t>(count)) {
            throw ModelError("the period of a motion found by shooting cannot be run through");
        }
        row.resize(static_cast<std::size_t>(count));
    }
    const std::size_t signals = samples.rows.size() - assembled.loose_gears.size();
    for (std::size_t s = 0; s < signals; ++s) {
        const std::vector<double>& row = samples.rows[s];
        std::vector<double>& by_order = out.amplitude.emplace_back();
        for (int n = 1; n <= orders; ++n) by_order.push_back(amplitude(row, n * shot.periods));
        const auto [low, high] = std::minmax_element(row.begin(), row.end());
        out.swing.push_back(*high - *low);
    }
    // Acceleration jumps where contacts meet; that of the speed's waves is the smoother way.
    for (int n = 1; n <= orders; ++n) {
        out.amplitude[2][static_cast<std::size_t>(n - 1)] =
            out.amplitude[1][static_cast<std::size_t>(n - 1)] * n * 2.0 * std::numbers::pi *
            shot.periods / shot.orbit.period;
    }
    for (std::size_t s = signals; s < samples.rows.size(); ++s) {
        out.rattle_ratio.push_back(rattle_ratio(samples.rows[s]));
    }
    if (shot.orbit.edge == "grazing") return out;
    out.multiplier = deciding_multiplier(shot.orbit, shot.neutral);
    out.judged = true;
    out.stable = out.multiplier < 1.0 - edge;
    return out;
}

}  // namespace damper
