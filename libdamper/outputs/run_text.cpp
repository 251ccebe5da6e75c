// SPDX-License-Identifier: MIT
#include "libdamper/outputs/run_text.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <cmath>
#include <fmt/format.h>

namespace damper {
namespace {

/// "every engine cycle", "every 2 engine cycles", "every 1/4 engine cycle".
std::string every(double cycles) {
    constexpr double hair = 1e-6;
    if (std::abs(cycles - 1.0) < hair) return "every engine cycle";
    for (int parts = 1; parts <= 24; ++parts) {
        const double count = cycles * parts;
        if (std::abs(count - std::round(count)) > hair) continue;
        if (parts == 1) return fmt::format("every {:.0f} engine cycles", count);
        return fmt::format("every {:.0f}/{} engine cycle{}", count, parts, cycles > 1.0 ? "s" : "");
    }
    return fmt::format("every {} engine cycles", number_text(cycles));
}

std::string percent(double share) {
    return fmt::format("{:.2g} %", 100.0 * share);
}

}  // namespace

std::string start_text(const StartReport& start) {
    if (start.asked != "periodic") return "";
    if (!start.periodic) {
        return fmt::format(
            "not periodic: {}; statistics from a settled state instead, after {} "
            "engine cycles of settling and search.",
            start.why_not, start.cycles_run);
    }
    return fmt::format(
        "periodic, repeats {} ({} s), stable: largest multiplier {:.4g}{}, next {:.2g} (what a "
        "period leaves of a disturbance); found after {} engine cycles of settling and search.",
        every(start.cycles), number_text(start.period), start.multiplier,
        start.mean_speed ? " (mean speed)" : "", start.next_multiplier, start.cycles_run);
}

std::string stop_text(const SolverReport& solver) {
    const StopReport& stop = solver.stop;
    const std::string cycles = fmt::format("{} engine cycles", stop.cycles);
    if (stop.reason == "repeats") {
        return fmt::format(
            "after {} engine cycle{}: the motion repeats itself, its rates are "
            "exact.",
            stop.cycles, stop.cycles == 1 ? "" : "s");
    }
    if (stop.reason == "quiet") {
        return fmt::format("after {} without a tooth impact.", cycles);
    }
    if (stop.reason == "certain") {
        const std::string reached =
            std::isfinite(stop.share_reached) && stop.share_reached <= stop.share
                ? fmt::format("are known to ±{} (95 %)", percent(stop.share_reached))
                : fmt::format("drift, but within ±{}", percent(stop.share));
        return fmt::format("after {}: the rates of tooth impacts {}; ±{} was asked for.", cycles,
                           reached, percent(stop.share));
    }
    if (stop.reason == "longest") {
        return fmt::format("after {}: the longest time was over; ±{} was asked for.", cycles,
                           percent(stop.share));
    }
    return "";
}

std::string value_text(const MeasureValue& measure) {
    const Shown shown = measure_shown_as(measure.name, measure.units, measure.value);
    const std::string number = number_text(shown.of(measure.value));
    if (!measure.certainty) return with_units(number, shown.units);
    const Certainty& known = *measure.certainty;
    if (known.batches == 0) {
        return with_units(number, shown.units) + " (exact: the motion repeats)";
    }
    return with_units(fmt::format("{} ± {:.2g}", number, known.half_width * shown.factor),
                      shown.units) +
           fmt::format(" ({:.0f} %)", 100.0 * known.confidence);
}

}  // namespace damper
