// SPDX-License-Identifier: MIT
// What one variant of a study costs, part by part: the way of measure_one, stopped at each station.
#include "libdamper/assemble/assemble.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/studies/facts_of.hpp"
#include "libdamper/studies/measure_one.hpp"
#include "libdamper/studies/measuring_sink.hpp"
#include "libdamper/studies/ready_run.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <exception>
#include <filesystem>
#include <fmt/format.h>
#include <string>
#include <sys/resource.h>
#include <vector>

namespace {

using namespace damper;

/// Processor time of one call [ms]: the least of several goes.
template <typename Work>
double milliseconds(int goes, int calls, Work&& work) {
    double least = 1e300;
    for (int go = 0; go < goes; ++go) {
        timespec start{}, end{};
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &start);
        for (int i = 0; i < calls; ++i) work();
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &end);
        const double spent = 1e3 * static_cast<double>(end.tv_sec - start.tv_sec) +
                             1e-6 * static_cast<double>(end.tv_nsec - start.tv_nsec);
        least = std::min(least, spent / calls);
    }
    return least;
}

/// Keeps what the measures are fed with.
class Keeper final : public Sink {
  public:
    explicit Keeper(const Assembled& assembled) : sampler(assembled) {}
    void sample(const Instant& instant) override {
        if (sampler.read(instant)) samples.push_back(sampler.sample());
    }
    RunSampler sampler;
    std::vector<RunSample> samples;
};

/// Samples and forgets.
class Reader final : public Sink {
  public:
    explicit Reader(const Assembled& assembled) : sampler(assembled) {}
    void sample(const Instant& instant) override { sampler.read(instant); }
    RunSampler sampler;
};

void print_variant(const std::string& name, const std::string& solver) {
    const std::filesystem::path source = DAMPER_SOURCE_DIR;
    const Scenario scenario = read_scenario(source / "scenarios" / (name + ".toml"),
                                            {.models = source / "models", .changes = {}});
    RunSettings settings;
    settings.solver = solver;
    ReadyRun ready = make_ready(scenario);
    const TimeSettings time = time_settings(ready, settings);
    const double assembling = milliseconds(5, 20, [&] { (void)assemble(scenario); });
    const double starting = milliseconds(5, 20, [&] { (void)steady_state(ready.assembled.line); });
    const double facts =
        milliseconds(5, 20, [&] { (void)facts_of(scenario, ready.assembled, ready.balance); });
    RunMeasures measures;
    const std::vector<std::string> elements = event_names(ready.assembled.line).elements;
    const double beginning = milliseconds(5, 20, [&] { measures.start(ready.facts, elements); });
    const double solving = milliseconds(3, 1, [&] {
        Reader reader(ready.assembled);
        (void)solve_ready(ready, time, settings, reader, reader.sampler, {});
    });
    Keeper keeper(ready.assembled);
    (void)solve_ready(ready, time, settings, keeper, keeper.sampler, {});
    const double feeding = milliseconds(5, 1, [&] {
        measures.start(ready.facts, elements);
        for (const RunSample& sample : keeper.samples) measures.sample(sample);
    });
    Measured measured;
    const double finishing = milliseconds(3, 1, [&] { measured = measures.finish(); });
    const double judging =
        milliseconds(5, 20, [&] { (void)judge_run(scenario, ready.facts, measured); });
    const double loop =
        milliseconds(5, 20, [&] { (void)quasi_static_loop(scenario.vehicle.disc); });
    const double whole =
        milliseconds(3, 1, [&] { (void)measure_one(scenario, settings, measures); });
    const double stored = milliseconds(3, 1, [&] { (void)run_one(scenario, settings); });
    fmt::print(
        "| {} | {} | {:.3f} | {:.3f} | {:.3f} | {:.1f} | {:.2f} | {:.0f} | {:.3f} | {:.3f} "
        "| {:.1f} | {:.1f} | {:.3f} |\n",
        name, solver, assembling, starting, facts + beginning, solving, feeding,
        1e6 * feeding / static_cast<double>(keeper.samples.size()), finishing, judging, whole,
        stored, loop);
    std::fflush(stdout);
}

long resident_kilobytes() {
    rusage used{};
    getrusage(RUSAGE_SELF, &used);
    return used.ru_maxrss;
}

void print_memory(const std::string& name, const std::string& solver) {
    const std::filesystem::path source = DAMPER_SOURCE_DIR;
    const Scenario scenario = read_scenario(source / "scenarios" / (name + ".toml"),
                                            {.models = source / "models", .changes = {}});
    RunSettings settings;
    settings.solver = solver;
    RunMeasures workspace;
    fmt::print("\nLargest memory after runs of {} [kB]:", name);
    for (const int runs : {1, 10, 100}) {
        for (int i = 0; i < runs; ++i) (void)measure_one(scenario, settings, workspace);
        fmt::print(" {}: {}", runs, resident_kilobytes());
    }
    fmt::print("\n");
}

}  // namespace

int main(int count, char** words) {
    try {
        if (count == 4 && std::string(words[1]) == "memory") {
            print_memory(words[2], words[3]);
            return 0;
        }
        std::vector<std::string> names(words + 1, words + count);
        if (names.empty()) names = {"car_idle_hot", "van_idle_no_idle_stage", "car_tip_in_2"};
        fmt::print(
            "| scenario | solver | assemble | steady_state | facts | solve | feed | ns a "
            "sample | finish | judge | measure_one | run_one | bench loop |\n"
            "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
        for (const std::string& name : names) {
            print_variant(name, "general");
            if (name.find("idle") != std::string::npos) print_variant(name, "exact");
        }
        return 0;
    } catch (const std::exception& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 1;
    }
}
