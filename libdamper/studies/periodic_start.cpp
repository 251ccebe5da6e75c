// SPDX-License-Identifier: MIT
#include "libdamper/studies/periodic_start.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/exact/shooting.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <numeric>
#include <set>
#include <string>

namespace damper {

namespace {

constexpr double engine_cycle = 4.0 * std::numbers::pi;
constexpr double no_torque = 1e-9;     // of the largest harmonic
constexpr double slowest = 4.0;        // times the mean period: what takes longer counts as none
constexpr std::int64_t patience = 60;  // passages of one search

/// How many times the torque repeats itself in an engine cycle: the greatest divisor that all
/// half orders have in common.
std::int64_t torque_periods(const Driveline& line) {
    std::int64_t common = 0;
    for (const Input& input : line.inputs) {
        const auto* torque = std::get_if<CrankTorque>(&input.source);
        if (torque == nullptr) continue;
        double largest = 0.0;
        for (const CrankHarmonic& h : torque->harmonics) {
            largest = std::max(largest, std::hypot(h.cosine, h.sine));
        }
        for (const CrankHarmonic& h : torque->harmonics) {
            if (std::hypot(h.cosine, h.sine) <= no_torque * largest) continue;
            common = std::gcd(common, static_cast<std::int64_t>(std::lround(2.0 * h.order)));
        }
    }
    return std::max<std::int64_t>(common, 1);
}

class Search {
  public:
    Search(const Assembled& assembled, const PeriodicStartSettings& settings,
           const Progress& progress)
        : line_(assembled.line),
          lead_(static_cast<std::size_t>(assembled.engine)),
          mean_speed_(line_.masses[lead_].reference_speed),
          periods_(torque_periods(line_)),
          settings_(settings),
          progress_(progress) {}

    PeriodicStart from(const State& steady) {
        out_.report.asked = "periodic";
        State now = steady;
        turned_ = mean_speed_ * now.time + now.angle[lead_];
        bool found = settle(now, settings_.first_settling) && search(now, 1);
        if (!found && why_settling_failed_.empty() && settle(now, settings_.then_settling)) {
            for (const std::int64_t turns : turns_to_try()) {
                found = found || search(now, turns);
            }
        }
        out_.report.cycles_run = static_cast<std::int64_t>(std::ceil(spent_));
        if (!found) {
            out_.report.why_not = why_not();
            out_.state = at_zero(now);
        }
        return out_;
    }

  private:
    [[nodiscard]] double left() const {
        return static_cast<double>(settings_.most_cycles) - spent_;
    }
    [[nodiscard]] double cycles_of(std::int64_t turns) const {
        return static_cast<double>(turns) / static_cast<double>(periods_);
    }

    /// Multiples of the torque's period: one, two, four, and up to the longest in engine cycles.
    [[nodiscard]] std::set<std::int64_t> turns_to_try() const {
        std::set<std::int64_t> turns;
        const std::int64_t longest = settings_.longest_period * periods_;
        for (std::int64_t m = 1; m <= 4; m *= 2) {
            turns.insert(std::min(m, longest));
            turns.insert(std::max<std::int64_t>(settings_.longest_period / m, 1) * periods_);
        }
        return turns;
    }

    /// Runs on for some engine cycles; false if it does not get there.
    bool settle(State& now, std::int64_t cycles) {
        if (static_cast<double>(cycles) > left()) return false;
        turned_ += static_cast<double>(cycles) * engine_cycle;
        const double longest = slowest * static_cast<double>(cycles) * engine_cycle / mean_speed_;
        const TimeOutcome run =
            solve_exact_to(line_, now, {.end = now.time + longest, .sample_step = longest}, nullptr,
                           {.inertia = lead_, .angle = turned_}, nullptr, progress_);
        spent_ += static_cast<double>(cycles);
        now = run.end;
        if (!run.report.complete) {
            why_settling_failed_ = run.report.warnings.empty()
                                       ? "the engine does not turn on its own"
                                       : run.report.warnings.front();
        }
        return run.report.complete;
    }

    /// Looks for a motion that repeats itself every so many periods of the torque.
    bool search(const State& guess, std::int64_t turns) {
        const double cycles = cycles_of(turns);
        const auto most = static_cast<std::int64_t>(left() / cycles);
        if (most < 2 || progress_.must_stop()) return false;
        const Orbit orbit =
            find_orbit(line_, guess,
                       {.lead = lead_,
                        .angle = cycles * engine_cycle,
                        .longest_period = slowest * cycles * engine_cycle / mean_speed_,
                        .most_passages = std::min(most, patience)},
                       progress_);
        spent_ += static_cast<double>(orbit.passages) * cycles;
        longest_tried_ = std::max(longest_tried_, cycles);
        if (!orbit.found) return false;
        const double largest = orbit.multipliers.empty() ? 0.0 : std::abs(orbit.multipliers[0]);
        if (!orbit.stable || orbit.edge == "grazing") {
            not_taken_ = orbit.stable ? fmt::format(
                                            "the motion that repeats every {:.4g} engine "
                                            "cycles just touches a face: whether it is "
                                            "stable cannot be told",
                                            cycles)
                                      : fmt::format(
                                            "the motion that repeats every {:.4g} engine "
                                            "cycles is not stable (largest multiplier "
                                            "{:.4g}{})",
                                            cycles, largest,
                                            orbit.mean_speed_share > 0.5
                                                ? ", of the mean speed, which nothing holds"
                                                : "");
            return false;
        }
        StartReport& report = out_.report;
        report.periodic = true;
        report.cycles = cycles;
        report.period = orbit.period;
        report.multiplier = largest;
        report.next_multiplier =
            orbit.multipliers.size() > 1 ? std::abs(orbit.multipliers[1]) : 0.0;
        report.mean_speed = orbit.mean_speed_share > 0.9;
        report.edge = orbit.edge;
        out_.state = at_zero(orbit.start);
        return true;
    }

    [[nodiscard]] std::string why_not() const {
        if (!why_settling_failed_.empty()) return why_settling_failed_;
        if (!not_taken_.empty()) return not_taken_;
        if (progress_.must_stop()) return "the search was stopped on request";
        return fmt::format(
            "nothing that repeats itself was found within {} engine cycles of "
            "search, up to a period of {:.4g} engine cycles",
            settings_.most_cycles, longest_tried_);
    }

    /// The same state seen from time 0, whole engine cycles of uniform rotation taken off: what is
    /// left is the crank angle within its cycle.
    [[nodiscard]] State at_zero(const State& state) const {
        const double angle = mean_speed_ * state.time + state.angle[lead_];
        const double taken_off = std::round(angle / engine_cycle) * engine_cycle / mean_speed_;
        const Stacked stacked(line_);
        State out = state;
        out.time = 0.0;
        for (std::size_t i = 0; i < out.angle.size(); ++i) {
            out.angle[i] += line_.masses[i].reference_speed * (state.time - taken_off);
        }
        for (std::size_t p = 0; p < stacked.parts().size(); ++p) {
            out.memory[p] -= stacked.drift(stacked.parts()[p].branch) * taken_off;
        }
        return out;
    }

    const Driveline& line_;
    std::size_t lead_;
    double mean_speed_;
    std::int64_t periods_;
    PeriodicStartSettings settings_;
    const Progress& progress_;
    double turned_ = 0.0;         ///< Total angle of the engine now [rad].
    double spent_ = 0.0;          ///< Engine cycles.
    double longest_tried_ = 0.0;  ///< Engine cycles.
    std::string not_taken_, why_settling_failed_;
    PeriodicStart out_;
};

}  // namespace

PeriodicStart periodic_start(const Assembled& assembled, const State& steady,
                             const PeriodicStartSettings& settings, const Progress& progress) {
    if (settings.first_settling < 1 || settings.then_settling < 1 || settings.longest_period < 1) {
        throw ModelError("a periodic start needs at least one engine cycle of settling and period");
    }
    // The share of work done means nothing here: only the request to stop is passed on.
    const Progress quiet{.report = {}, .stop_requested = progress.stop_requested};
    try {
        return Search(assembled, settings, quiet).from(steady);
    } catch (const ModelError& error) {
        throw InputError(fmt::format("no periodic start can be looked for: {}", error.what()));
    }
}

}  // namespace damper
