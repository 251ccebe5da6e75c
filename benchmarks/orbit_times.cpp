// SPDX-License-Identifier: MIT
// Steady motions over engine speed by harmonic balance, and the same curve by exact runs in time
// that settle at every speed: processor time of one core.
#include "libdamper/describe/read.hpp"
#include "libdamper/studies/orbit_study.hpp"

#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <string>

namespace {

using namespace damper;

constexpr double rpm = std::numbers::pi / 30.0;
constexpr int settling_periods = 60;  // of an exact run before the period that is kept
constexpr int harmonics = 24;

struct Case {
    const char* scenario;
    OperatingCurve curve;
    const char* gear;
    double from, to;  // rpm
};

double since(std::clock_t start) {
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

/// Seconds of settling at every speed of the curve, loose gears held as there.
double brute_force(const OrbitFamily& family, const OrbitRecord& curve) {
    const std::clock_t start = std::clock();
    for (const OrbitPoint& point : curve.points) {
        PeriodicProblem problem = family.at(point.engine_speed);
        PeriodicMotion guess = resting_motion(problem, harmonics);
        guess.balance = point.holding_torque;
        const TimeProblem time = time_problem(problem, guess);
        problem.line = time.line;
        (void)settled_motion(problem, time.start, settling_periods, harmonics);
    }
    return since(start);
}

}  // namespace

int main() {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    fmt::print(
        "| curve | points | curve [s] | with stability [s] | exact runs [s] | exact/curve |\n"
        "|---|---|---|---|---|---|\n");
    for (const Case& c :
         {Case{"car_idle_hot", OperatingCurve::neutral, "", 700.0, 6000.0},
          Case{"car_idle_cold_three_stage", OperatingCurve::neutral, "", 700.0, 6000.0},
          Case{"car_idle_hot", OperatingCurve::pull, "3", 700.0, 6000.0},
          Case{"van_idle_hot", OperatingCurve::pull, "3", 700.0, 4500.0},
          Case{"heavy_truck_idle_hot", OperatingCurve::pull, "9", 500.0, 2200.0}}) {
        const Scenario scenario =
            read_scenario(root / "scenarios" / (std::string(c.scenario) + ".toml"),
                          {.models = root / "models", .changes = {}});
        OrbitStudySettings settings;
        settings.request = {
            .curve = c.curve, .gear = c.gear, .from = c.from * rpm, .to = c.to * rpm};
        settings.stability = false;
        std::clock_t start = std::clock();
        const OrbitRecord curve = find_orbits(scenario, settings);
        const double plain = since(start);
        settings.stability = true;
        start = std::clock();
        (void)find_orbits(scenario, settings);
        const double judged = since(start);
        const double exact = brute_force(OrbitFamily(scenario, settings.request), curve);
        fmt::print("| {}{}{} | {} | {:.2f} | {:.2f} | {:.1f} | {:.0f} |\n", c.scenario,
                   *c.gear != '\0' ? ", pull in gear " : ", neutral", c.gear, curve.points.size(),
                   plain, judged, exact, exact / plain);
    }
    return 0;
}
