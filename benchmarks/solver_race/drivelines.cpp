// SPDX-License-Identifier: MIT
#include "benchmarks/solver_race/drivelines.hpp"

#include "libdamper/assemble/gearbox.hpp"
#include "libdamper/describe/read.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <utility>

namespace damper::benchmarks {

namespace {

// How much each repetition of a gear differs from the one before it. Invented: enough that no two
// gears move alike, little enough that they stay gears of the same box.
constexpr double ratio_more = 1.037;
constexpr double inertia_more = 0.94;
constexpr double backlash_more = 1.06;
constexpr double drag_more = 0.97;

template <typename Q>
Q times(Q quantity, double factor) {
    return Q::from_si(quantity.si() * factor);
}

GearPair repeated(const GearPair& gear) {
    GearPair next = gear;
    next.name += "'";
    next.ratio = times(gear.ratio, ratio_more);
    next.loose_inertia = times(gear.loose_inertia, inertia_more);
    next.backlash = times(gear.backlash, backlash_more);
    next.drag_constant = times(gear.drag_constant, drag_more);
    next.drag_viscous = times(gear.drag_viscous, drag_more);
    return next;
}

std::size_t loose_gears(const Scenario& scenario) {
    const auto& gears = scenario.vehicle.gearbox.gears;
    return static_cast<std::size_t>(std::count_if(gears.begin(), gears.end(), turns_in_neutral));
}

struct Family {
    std::string name, scenario, disc;
    std::vector<std::size_t> gears;  ///< 0: as shipped.
};

const std::vector<Family>& families() {
    static const std::vector<Family> all = {
        {"car, soft idle stage", "car_idle_hot", "", {4, 20}},
        {"car, firm idle stage", "car_idle_firm_idle_stage", "", {4, 0, 10, 20}},
        {"heavy truck, soft idle stage", "heavy_truck_idle_hot", "", {4, 10, 20}},
        {"heavy truck, no idle stage",
         "heavy_truck_idle_hot",
         "heavy_truck_no_idle_stage",
         {4, 0, 10, 20}},
    };
    return all;
}

}  // namespace

Scenario shipped_scenario(const std::string& name, const std::string& disc) {
    const std::filesystem::path source = DAMPER_SOURCE_DIR;
    ReadOptions options{.models = source / "models", .changes = {}};
    if (!disc.empty()) options.changes.emplace_back("disc", disc);
    return read_scenario(source / "scenarios" / (name + ".toml"), options);
}

Scenario with_loose_gears(Scenario scenario, std::size_t count) {
    std::vector<GearPair>& gears = scenario.vehicle.gearbox.gears;
    std::erase_if(gears, [](const GearPair& gear) { return !turns_in_neutral(gear); });
    const std::size_t given = gears.size();
    while (gears.size() < count) gears.push_back(repeated(gears[gears.size() - given]));
    gears.resize(count);
    return scenario;
}

std::vector<RaceCase> race_cases() {
    std::vector<RaceCase> out;
    for (const Family& family : families()) {
        for (const std::size_t gears : family.gears) {
            RaceCase c{.name = {},
                       .family = family.name,
                       .as_shipped = gears == 0,
                       .scenario = shipped_scenario(family.scenario, family.disc)};
            if (gears > 0) c.scenario = with_loose_gears(std::move(c.scenario), gears);
            c.gears = loose_gears(c.scenario);
            c.name = fmt::format("{}, {} gears{}", family.name, c.gears,
                                 c.as_shipped ? " as shipped" : "");
            out.push_back(std::move(c));
        }
    }
    return out;
}

}  // namespace damper::benchmarks
