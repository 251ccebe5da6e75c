// SPDX-License-Identifier: MIT
// Natural modes of neutral and all gears of the shipped vehicles: processor time of one core.
#include "libdamper/describe/read.hpp"
#include "libdamper/solvers/modes/natural_modes.hpp"
#include "libdamper/studies/find_modes.hpp"

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <vector>

namespace {

using namespace damper;

constexpr int repeats = 41;

/// Median of processor times [ms].
template <typename Work>
double milliseconds(Work&& work) {
    std::vector<double> times;
    for (int i = 0; i < repeats; ++i) {
        const std::clock_t start = std::clock();
        work();
        times.push_back(1e3 * static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    std::nth_element(times.begin(), times.begin() + repeats / 2, times.end());
    return times[repeats / 2];
}

}  // namespace

int main() {
    const std::filesystem::path root = DAMPER_SOURCE_DIR;
    fmt::print(
        "| scenario | gears | modes | operating points [ms] | eigenvalues [ms] | all [ms] |\n"
        "|---|---|---|---|---|---|\n");
    for (const char* name :
         {"car_idle_hot", "van_idle_hot", "medium_truck_idle_hot", "heavy_truck_idle_hot"}) {
        const Scenario scenario = read_scenario(root / "scenarios" / (std::string(name) + ".toml"),
                                                {.models = root / "models", .changes = {}});
        const std::vector<std::string> gears = gears_of(scenario);
        std::vector<OperatingPoint> points;
        const double assembling = milliseconds([&] {
            points.clear();
            for (const std::string& gear : gears) {
                points.push_back(operating_point(scenario, {.gear = gear}));
            }
        });
        const double solving = milliseconds([&] {
            for (const OperatingPoint& point : points) (void)natural_modes(point.linear);
        });
        std::size_t modes = 0;
        const double all = milliseconds([&] {
            modes = 0;
            for (const GearModes& gear : find_modes(scenario).gears) modes += gear.modes.size();
        });
        fmt::print("| {} | {} | {} | {:.2f} | {:.2f} | {:.2f} |\n", name, gears.size(), modes,
                   assembling, solving, all);
    }
    return 0;
}
