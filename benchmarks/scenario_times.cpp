// SPDX-License-Identifier: MIT
// Runs every shipped scenario with the general solver and prints what it costs.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/solvers/general/general_solver.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tests/peers/idle_car.hpp"

#include "benchmarks/own_process.hpp"
#include <algorithm>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <optional>
#include <string>
#include <vector>

namespace {

using namespace damper;
using benchmarks::in_own_process;

constexpr double tolerance = 1e-8;

/// Processor time, so that what else the machine does counts little.
template <typename Work>
double seconds(Work&& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

/// Equations alone, without recording: what both integrators do.
struct Duel {
    double ours = 0.0, theirs = 0.0;  ///< [s]
};

/// Nothing if the reference cannot tell this scenario: it knows a closed clutch in neutral only.
std::optional<Duel> duel(const Scenario& scenario) {
    const auto* idle = std::get_if<Idle>(&scenario.manoeuvre);
    if (idle == nullptr || idle->pedal == "down") return std::nullopt;
    const double end = idle->length.si();
    const Assembled assembled = assemble(scenario);
    const State start = steady_state(assembled.line).state;
    const peers::IdleCar car = peers::idle_car(scenario);
    Duel out;
    out.ours = seconds([&] {
        (void)solve_general(assembled.line, start,
                            {.end = end, .sample_step = 1e-3, .tolerance = tolerance}, nullptr);
    });
    out.theirs =
        seconds([&] { (void)peers::integrate(car, peers::Formulas::bdf, end, 1e-3, tolerance); });
    return out;
}

/// Prints the line of one scenario but for its memory.
void print_run(const std::filesystem::path& file) {
    const Scenario scenario = read_scenario(
        file, {.models = std::filesystem::path(DAMPER_SOURCE_DIR) / "models", .changes = {}});
    RunRecord record;
    RunSettings settings;
    settings.solver = "general";
    settings.tolerance = tolerance;
    const double time = seconds([&] { record = run_one(scenario, settings); });
    fmt::print("| {} | {:.2f} | {} | {} | {:.0e} |", file.stem().string(), time,
               record.solver.steps, record.solver.mode_changes, record.energy.residual());
    std::fflush(stdout);
}

void print_duel(const std::filesystem::path& file) {
    const Scenario scenario = read_scenario(
        file, {.models = std::filesystem::path(DAMPER_SOURCE_DIR) / "models", .changes = {}});
    const std::optional<Duel> times = duel(scenario);
    if (!times) {
        fmt::print(" – | – |\n");
        return;
    }
    fmt::print(" {:.2f} | {:.1f} |\n", times->theirs, times->theirs / times->ours);
}

}  // namespace

int main(int count, char** words) {
    const std::filesystem::path folder = std::filesystem::path(DAMPER_SOURCE_DIR) / "scenarios";
    std::vector<std::filesystem::path> files;
    for (int i = 1; i < count; ++i) files.push_back(folder / (std::string(words[i]) + ".toml"));
    if (files.empty()) {
        for (const auto& entry : std::filesystem::directory_iterator(folder)) {
            if (entry.path().extension() == ".toml") files.push_back(entry.path());
        }
        std::sort(files.begin(), files.end());
    }
    fmt::print(
        "| scenario | run [s] | steps | mode changes | energy residual | memory [MB] | CVODE BDF "
        "[s] | CVODE / ours |\n|---|---|---|---|---|---|---|---|\n");
    bool failed = false;
    for (const std::filesystem::path& file : files) {
        const long memory = in_own_process([&] { print_run(file); });
        failed = failed || memory == 0;
        fmt::print(" {:.0f} |", static_cast<double>(memory) / 1024.0);
        failed = in_own_process([&] { print_duel(file); }) == 0 || failed;
    }
    return failed ? 1 : 0;
}
