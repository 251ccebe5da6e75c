// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/floor.hpp"

#include "libdamper/solvers/exact/exact_solver.hpp"

#include "benchmarks/solver_race/peak.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace damper::benchmarks {

namespace {

constexpr double turn_of_step = 2.0;    // rad of the quickest motion in a step
constexpr double nothing_left = 4e-17;  // of the speed: where the series ends
constexpr double sample_step = 2e-5;    // s

/// Orders k until 2^k/k! is nothing.
double orders_of_step() {
    double left = 1.0;
    int order = 0;
    while (left > nothing_left) left *= turn_of_step / ++order;
    return order;
}

/// How many inertias are coupled, sample by sample.
struct CoupledInertias : Sink {
    explicit CoupledInertias(const Assembled& line) : assembled(line) {}
    void sample(const Instant& instant) override {
        double coupled = 2.0;  // engine and input shaft
        for (const Assembled::LooseGear& gear : assembled.loose_gears) {
            const auto branch = static_cast<std::size_t>(gear.branch);
            if (instant.stacked->branches()[branch].spring != 0.0) coupled += 1.0;
        }
        sum += coupled;
        samples += 1.0;
    }
    const Assembled& assembled;
    double sum = 0.0, samples = 0.0;
};

const Peak& best(const std::vector<Peak>& peaks, bool fused) {
    return *std::max_element(peaks.begin(), peaks.end(), [&](const Peak& a, const Peak& b) {
        return (a.fused == fused ? a.rate : 0.0) < (b.fused == fused ? b.rate : 0.0);
    });
}

}  // namespace

Work estimated_work(const Prepared& prepared, double span) {
    CoupledInertias coupled(prepared.assembled);
    const TimeOutcome out = solve_exact(prepared.assembled.line, prepared.start,
                                        {.end = span, .sample_step = sample_step}, &coupled);
    const double width = coupled.sum / coupled.samples;
    Work work{.orders = orders_of_step(), .width = width};
    work.per_step = work.orders * (8.0 * (width - 1.0) + 2.0 * width);
    work.multiply_adds = work.per_step * static_cast<double>(out.report.steps);
    return work;
}

void print_floor(const std::vector<RaceResult>& results, const RaceSettings& settings) {
    const std::vector<Peak> peaks = measure_peaks();
    fmt::print("### Floor of the exact solver\n\n| multiply-adds of doubles | 1e9 per s |\n");
    fmt::print("|---|---|\n");
    for (const Peak& peak : peaks) fmt::print("| {} | {:.1f} |\n", peak.kind, 1e-9 * peak.rate);
    const Peak& plain = best(peaks, false);
    fmt::print(
        "\nThe floor is the estimated arithmetic of the run at the rate of \"{}\".\n\n"
        "| driveline | coupled inertias | multiply-adds a step | steps per s | floor [ms per s] | "
        "exact [ms per s] | exact / floor |\n|---|---|---|---|---|---|---|\n",
        plain.kind);
    for (const RaceResult& r : results) {
        const Work work = estimated_work(Prepared(r.entry.scenario), settings.span);
        const double floor = work.multiply_adds / plain.rate;
        fmt::print("| {} | {:.1f} | {:.0f} | {:.0f} | {:.3f} | {:.2f} | {:.0f} |\n", r.entry.name,
                   work.width, work.per_step, work.multiply_adds / work.per_step / settings.span,
                   1e3 * floor / settings.span, 1e3 * r.exact_time() / settings.span,
                   r.exact_time() / floor);
    }
    fmt::print("\n");
}

}  // namespace damper::benchmarks
