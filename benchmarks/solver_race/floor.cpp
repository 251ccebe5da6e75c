// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/floor.hpp"

#include "libdamper/solvers/exact/exact_solver.hpp"

#include "benchmarks/solver_race/peak.hpp"
#include <algorithm>
#include <fmt/format.h>

namespace damper::benchmarks {

namespace {

const Peak& best(const std::vector<Peak>& peaks, bool fused) {
    return *std::max_element(peaks.begin(), peaks.end(), [&](const Peak& a, const Peak& b) {
        return (a.fused == fused ? a.rate : 0.0) < (b.fused == fused ? b.rate : 0.0);
    });
}

}  // namespace

Work work_of(const Prepared& prepared, double span) {
    const TimeOutcome out = solve_exact(prepared.assembled.line, prepared.start,
                                        {.end = span, .sample_step = span}, nullptr);
    Work work{.multiply_adds = static_cast<double>(out.report.multiply_adds)};
    work.steps = static_cast<double>(out.report.steps);
    return work;
}

void print_floor(const std::vector<RaceResult>& results, const RaceSettings& settings) {
    const std::vector<Peak> peaks = measure_peaks();
    fmt::print("### Floor of the exact solver\n\n| multiply-adds of doubles | 1e9 per s |\n");
    fmt::print("|---|---|\n");
    for (const Peak& peak : peaks) fmt::print("| {} | {:.1f} |\n", peak.kind, 1e-9 * peak.rate);
    const Peak& plain = best(peaks, false);
    fmt::print(
        "\nThe floor is the arithmetic of the power series alone, as the solver counts it, at the "
        "rate of \"{}\".\n\n| driveline | multiply-adds a stretch | stretches per s | floor [ms "
        "per "
        "s] | exact [ms per s] | exact / floor |\n|---|---|---|---|---|---|\n",
        plain.kind);
    for (const RaceResult& r : results) {
        const Work work = work_of(Prepared(r.entry.scenario), settings.span);
        const double floor = work.multiply_adds / plain.rate;
        fmt::print("| {} | {:.0f} | {:.0f} | {:.3f} | {:.2f} | {:.0f} |\n", r.entry.name,
                   work.multiply_adds / work.steps, work.steps / settings.span,
                   1e3 * floor / settings.span, 1e3 * r.exact_time() / settings.span,
                   r.exact_time() / floor);
    }
    fmt::print("\n");
}

}  // namespace damper::benchmarks
