// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/tables.hpp"

#include <algorithm>
#include <cstdio>
#include <fmt/format.h>
#include <fstream>
#include <string>
#include <thread>

namespace damper::benchmarks {

namespace {

constexpr double fixed_tolerance = 1e-6;
constexpr const char* nothing = "–";

std::string processor() {
    std::ifstream file("/proc/cpuinfo");
    for (std::string line; std::getline(file, line);) {
        const std::size_t colon = line.find(':');
        if (line.starts_with("model name") && colon + 2 < line.size()) {
            return line.substr(colon + 2);
        }
    }
    return "unknown processor";
}

/// Processor time over simulated time [ms/s].
std::string cost(const RaceRow& row, double span) {
    return fmt::format("{:.2f}", 1e3 * row.time / span);
}

std::string times_exact(const RaceRow* row, const RaceResult& result) {
    return row == nullptr || !row->ended ? nothing
                                         : fmt::format("{:.2f}", row->time / result.exact_time());
}

std::string tolerance_text(double tolerance) {
    return fmt::format("{:.1e}", tolerance);
}

std::string error_text(double error) {
    return error == 0.0 ? "0" : fmt::format("{:.0e}", error);
}

/// "17.20 (5.1×, 3.2e-10)": cost, times the exact run's, tolerance.
std::string match_text(const RaceResult& result, Family family, double span) {
    const RaceRow* row = result.match(family);
    if (row == nullptr) return "not met";
    return fmt::format("{} ({}×, {})", cost(*row, span), times_exact(row, result),
                       tolerance_text(row->entrant.tolerance));
}

}  // namespace

void print_machine() {
    fmt::print("{}, {} processors; {}.\n\n", processor(), std::thread::hardware_concurrency(),
               versions());
}

void print_race(const RaceResult& result, const RaceSettings& settings) {
    fmt::print("### {}\n\n", result.entry.name);
    fmt::print("{}.\n\n", result.exact.report.method);
    fmt::print(
        "| solver | tolerance | ms per s | / exact | steps | switches | error 20 ms | error 100 ms "
        "| from tightest 20 ms | from tightest 100 ms |\n"
        "|---|---|---|---|---|---|---|---|---|---|\n");
    for (const RaceRow& row : result.rows) {
        const bool exact = row.entrant.family == Family::exact;
        if (!row.ended) {
            fmt::print("| {} | {} | gave up | – | – | – | – | – | – | – |\n",
                       name_of(row.entrant.family), tolerance_text(row.entrant.tolerance));
            continue;
        }
        fmt::print("| {} | {}{} | {} | {} | {} | {} | {} | {} | {} | {} |\n",
                   name_of(row.entrant.family),
                   exact ? nothing : tolerance_text(row.entrant.tolerance),
                   row.is_match ? " *" : "", cost(row, settings.span), times_exact(&row, result),
                   row.steps, row.switches, error_text(row.short_error), error_text(row.long_error),
                   error_text(row.short_from_best), error_text(row.long_from_best));
    }
    fmt::print("\n");
    std::fflush(stdout);
}

void print_matched(const std::vector<RaceResult>& results, const RaceSettings& settings) {
    fmt::print("### Matched error: at most {:.0e} over the first 20 ms\n\n", matched);
    fmt::print("| driveline | steps | switches | mode sets | exact");
    for (const Family family : peers_of_exact()) fmt::print(" | {}", name_of(family));
    fmt::print(" |\n|---|---|---|---|---|---|---|---|---|\n");
    for (const RaceResult& r : results) {
        fmt::print("| {} | {} | {} | {} | {}", r.entry.name, r.exact.steps, r.exact.switches,
                   r.exact.mode_sets, cost(r.rows.front(), settings.span));
        for (const Family family : peers_of_exact()) {
            fmt::print(" | {}", match_text(r, family, settings.span));
        }
        fmt::print(" |\n");
    }
    fmt::print("\n");
}

void print_fixed(const std::vector<RaceResult>& results) {
    fmt::print("### CVODE at {:.0e}, whatever its error\n\n", fixed_tolerance);
    fmt::print(
        "| driveline | BDF / exact | BDF error 20 ms | Adams / exact | Adams error 20 ms |\n"
        "|---|---|---|---|---|\n");
    for (const RaceResult& r : results) {
        fmt::print("| {}", r.entry.name);
        for (const Family family : {Family::bdf, Family::adams}) {
            const RaceRow* row = r.at(family, fixed_tolerance);
            fmt::print(" | {} | {}", times_exact(row, r),
                       row == nullptr || !row->ended ? nothing : error_text(row->short_error));
        }
        fmt::print(" |\n");
    }
    fmt::print("\n");
}

void print_gear_cost(const std::vector<RaceResult>& results) {
    fmt::print("### Cost of loose gears, exact solver\n\n");
    fmt::print("| driveline | gears | cost / cost with fewest gears | steps / steps |\n");
    fmt::print("|---|---|---|---|\n");
    const RaceResult* fewest = nullptr;
    for (const RaceResult& r : results) {
        if (fewest == nullptr || fewest->entry.family != r.entry.family) fewest = &r;
        if (fewest == &r) continue;
        fmt::print("| {} | {} / {} | {:.2f} | {:.2f} |\n", r.entry.family, r.entry.gears,
                   fewest->entry.gears, r.exact_time() / fewest->exact_time(),
                   static_cast<double>(r.exact.steps) / static_cast<double>(fewest->exact.steps));
    }
    fmt::print("\n");
}

}  // namespace damper::benchmarks
