// SPDX-License-Identifier: MIT
// Times the library's two solvers and general-purpose peers on the same idling drivelines.
#include "benchmarks/solver_race/floor.hpp"
#include "benchmarks/solver_race/race.hpp"
#include "benchmarks/solver_race/statistics.hpp"
#include "benchmarks/solver_race/study.hpp"
#include "benchmarks/solver_race/tables.hpp"
#include <CLI/CLI.hpp>
#include <algorithm>
#include <exception>
#include <fmt/format.h>
#include <string>
#include <vector>

using namespace damper::benchmarks;

namespace {

struct Choice {
    std::vector<std::string> parts = {"race", "floor", "study"};
    std::string cases;
    bool every_tolerance = false;
    double statistics = 20.0;
    RaceSettings race;
    StudySettings study;

    [[nodiscard]] bool wants(const std::string& part) const {
        return std::find(parts.begin(), parts.end(), part) != parts.end();
    }
};

void add_options(CLI::App& app, Choice& choice) {
    app.add_option("--parts", choice.parts, "What to do")
        ->check(CLI::IsMember({"race", "floor", "study", "statistics"}))
        ->capture_default_str();
    app.add_option("--cases", choice.cases, "Only drivelines whose name contains this");
    app.add_flag("--every-tolerance", choice.every_tolerance,
                 "For all drivelines, not only for gearboxes as shipped");
    app.add_option("--span", choice.race.span, "Length of the timed runs [s]")
        ->check(CLI::Range(1e-3, 10.0))
        ->capture_default_str();
    app.add_option("--rounds", choice.race.rounds.most, "Rounds of timing")
        ->check(CLI::Range(1, 99))
        ->capture_default_str();
    app.add_option("--statistics", choice.statistics, "Length of the runs for statistics [s]")
        ->check(CLI::Range(1.0, 1000.0))
        ->capture_default_str();
    app.add_option("--variants", choice.study.variants, "Of the study")
        ->check(CLI::Range(1, 1'000'000))
        ->capture_default_str();
    app.add_option("--general-variants", choice.study.general_variants,
                   "That the general solver is timed on")
        ->check(CLI::Range(1, 1'000'000))
        ->capture_default_str();
    app.add_option("--one-thread-variants", choice.study.one_thread_variants,
                   "That are done again by one thread")
        ->check(CLI::Range(1, 1'000'000))
        ->capture_default_str();
    app.add_option("--threads", choice.study.threads, "Of the study; 0: one a processor")
        ->check(CLI::Range(0, 1024))
        ->capture_default_str();
}

std::vector<RaceResult> race_all(const Choice& choice) {
    std::vector<RaceResult> results;
    for (const RaceCase& entry : race_cases()) {
        if (entry.name.find(choice.cases) == std::string::npos) continue;
        RaceSettings settings = choice.race;
        settings.every_tolerance =
            choice.wants("race") && (choice.every_tolerance || entry.as_shipped);
        results.push_back(race(entry, settings));
        if (choice.wants("race")) print_race(results.back(), choice.race);
    }
    if (results.empty()) {
        std::string known;
        for (const RaceCase& entry : race_cases()) known += "\n  " + entry.name;
        throw std::runtime_error(
            fmt::format("no driveline has \"{}\" in its name; there are{}", choice.cases, known));
    }
    return results;
}

bool carry_out(const Choice& choice) {
    print_machine();
    if (choice.wants("race") || choice.wants("floor")) {
        const std::vector<RaceResult> results = race_all(choice);
        if (choice.wants("race")) {
            print_matched(results, choice.race);
            print_fixed(results);
            print_gear_cost(results);
        }
        if (choice.wants("floor")) print_floor(results, choice.race);
    }
    if (choice.wants("statistics")) {
        std::vector<RaceCase> shipped;
        for (const RaceCase& entry : race_cases()) {
            if (entry.as_shipped && entry.name.find(choice.cases) != std::string::npos) {
                shipped.push_back(entry);
            }
        }
        print_statistics(shipped, choice.statistics);
    }
    return !choice.wants("study") || print_study(choice.study);
}

}  // namespace

int main(int count, char** words) {
    Choice choice;
    CLI::App app("Times the solvers against each other and against general-purpose peers.");
    add_options(app, choice);
    CLI11_PARSE(app, count, words);
    choice.race.rounds.least = std::min(choice.race.rounds.least, choice.race.rounds.most);
    try {
        return carry_out(choice) ? 0 : 1;
    } catch (const std::exception& error) {
        fmt::print(stderr, "solver_race: {}\n", error.what());
        return 1;
    }
}
