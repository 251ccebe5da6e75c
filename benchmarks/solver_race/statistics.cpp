// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/statistics.hpp"

#include "benchmarks/solver_race/contenders.hpp"
#include <cmath>
#include <cstdio>
#include <exception>
#include <fmt/format.h>

namespace damper::benchmarks {

namespace {

constexpr double settled = 1.0;  // s
constexpr double slow = 0.05;    // rad/s; slower touches are a gear's last bounces

struct Rattle {
    double touches = 0.0;  ///< Per second.
    double squares = 0.0;  ///< Of closing speeds, per second: what the energy goes with [rad²/s³].
};

Rattle rattle_of(const Course& course, double length) {
    Rattle out;
    for (const peers::Course::Touch& touch : course.touches) {
        if (touch.time < settled || touch.speed <= slow) continue;
        out.touches += 1.0;
        out.squares += touch.speed * touch.speed;
    }
    out.touches /= length;
    out.squares /= length;
    return out;
}

double percent(double value, double of) {
    return 100.0 * (value / of - 1.0);
}

}  // namespace

void print_statistics(const std::vector<RaceCase>& cases, double length) {
    fmt::print(
        "### Rattle over {} s\n\nTouches faster than {} rad/s after {} s.\n\n"
        "| driveline | solver | tolerance | touches per s | to exact [%] | squares of closing "
        "speeds [rad²/s³] | to exact [%] |\n|---|---|---|---|---|---|---|\n",
        length, slow, settled);
    const std::vector<Entrant> entrants = {{Family::exact, 0.0},
                                           {Family::general, 1e-8},
                                           {Family::lean, 1e-8},
                                           {Family::bdf, 1e-8},
                                           {Family::adams, 1e-8}};
    for (const RaceCase& entry : cases) {
        const Prepared prepared(entry.scenario);
        Rattle exact;
        for (const Entrant& entrant : entrants) {
            const std::string who = fmt::format("| {} | {} | {:.0e} |", entry.name,
                                                name_of(entrant.family), entrant.tolerance);
            try {
                const Rattle here =
                    rattle_of(run(prepared, entrant, settled + length, 1e-3), length);
                if (entrant.family == Family::exact) exact = here;
                if (exact.touches < 1.0) break;  // a quiet one
                fmt::print("{} {:.1f} | {:+.2f} | {:.3f} | {:+.2f} |\n", who, here.touches,
                           percent(here.touches, exact.touches), here.squares,
                           percent(here.squares, exact.squares));
            } catch (const std::exception& error) {
                fmt::print("{} gave up: {} | | | |\n", who, error.what());
            }
            std::fflush(stdout);
        }
    }
    fmt::print("\n");
}

}  // namespace damper::benchmarks
