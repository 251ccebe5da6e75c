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

/// Largest memory of a process of its own that runs the scenario [kB]; 0 if it failed.
long memory_of(const std::filesystem::path& file) {
    const pid_t child =
        testing::start_child([&] { return run_one(read_file(file), {}).solver.complete ? 0 : 1; });
    int status = 0;
    rusage used{};
    if (::wait4(child, &status, 0, &used) != child || status != 0) return 0;
    return used.ru_maxrss;
}

#if defined(__SANITIZE_ADDRESS__)
constexpr bool memory_counts = false;  // the sanitizer's own memory is several times the program's
#else
constexpr bool memory_counts = true;
#endif

}  // namespace

TEST_CASE("every shipped scenario runs to its end, keeps its energy and stays within its bands") {
    const std::vector<std::filesystem::path> files = scenario_files();
    REQUIRE(files.size() >= 14);
    for (const std::filesystem::path& file : files) {
        CAPTURE(file.filename().string());
        const Scenario scenario = read_file(file);
        const RunRecord record = run_one(scenario, {});
        CHECK(record.solver.complete);
        CHECK(record.energy.residual() < 1e-6);
        CHECK(record.energy.turnover() > 1.0);  // J: the books are not empty
        CHECK_FALSE(record.measures.empty());
        for (const Band& band : scenario.bands) {
            CAPTURE(band.measure);
            const double value = measure(record, band.measure);
            CHECK(value >= band.low);
            CHECK(value <= band.high);
        }
    }
}

TEST_CASE("every shipped scenario runs in less than 200 MB") {
    const std::vector<std::filesystem::path> files = scenario_files();
    REQUIRE(files.size() >= 14);
    for (const std::filesystem::path& file : files) {
        CAPTURE(file.filename().string());
        const long used = memory_of(file);
        CHECK(used > 1000);
        if (memory_counts) CHECK(used < 200'000);
    }
}
