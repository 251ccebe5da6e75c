// SPDX-License-Identifier: MIT
// Every scenario that is shipped must run through, keep its books and stay small.
#include "libdamper/measures/known_measures.hpp"

#include "tests/support/child.hpp"
#include "tests/trade/trade.hpp"

#include <sys/resource.h>

using namespace damper;
using namespace damper::trade;

namespace {

std::vector<std::filesystem::path> scenario_files() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(source_folder() / "scenarios")) {
        if (entry.path().extension() == ".toml") files.push_back(entry.path());
    }
    std::sort(files.begin(), files.end());
    return files;
}

Scenario read_file(const std::filesystem::path& file) {
    return read_scenario(
        file, {.models = source_folder() / "models", .changes = {}, .measures = known_measures()});
}

/// What does not hold of a run of the scenario, told on the error output; the number of such
/// things.
int told_faults(const std::filesystem::path& file) {
    const Scenario scenario = read_file(file);
    const RunRecord record = run_one(scenario, {});
    int faults = 0;
    const auto must = [&](bool holds, const std::string& what) {
        if (holds) return;
        std::fprintf(stderr, "%s: %s\n", file.filename().c_str(), what.c_str());
        ++faults;
    };
    must(record.solver.complete, "did not run to its end");
    must(record.energy.residual() < 1e-6, "loses energy");
    must(record.energy.turnover() > 1.0, "has empty books");  // J
    must(!record.measures.empty(), "measures nothing");
    for (const Band& band : scenario.bands) {
        const double value = measure(record, band.measure);
        must(value >= band.low && value <= band.high, band.measure + " leaves its band");
    }
    return std::min(faults, 90);
}

struct Ended {
    int status;   ///< number of faults
    long memory;  ///< largest [kB]
};

/// Runs the scenario in a process of its own.
Ended ended(const std::filesystem::path& file) {
    const pid_t child = testing::start_child([&] { return told_faults(file); });
    int status = 0;
    rusage used{};
    if (::wait4(child, &status, 0, &used) != child || !WIFEXITED(status))
        return {.status = 98, .memory = 0};
    return {.status = WEXITSTATUS(status), .memory = used.ru_maxrss};
}

#if defined(__SANITIZE_ADDRESS__)
constexpr bool memory_counts = false;  // the sanitizer's own memory is several times the program's
#else
constexpr bool memory_counts = true;
#endif

}  // namespace

TEST_CASE("every shipped scenario runs to its end in 200 MB, keeps its energy and its bands") {
    const std::vector<std::filesystem::path> files = scenario_files();
    REQUIRE(files.size() >= 70);
    for (const std::filesystem::path& file : files) {
        CAPTURE(file.filename().string());
        const Ended run = ended(file);
        CHECK(run.status == 0);
        CHECK(run.memory > 1000);
        if (memory_counts) CHECK(run.memory < 200'000);
    }
}
