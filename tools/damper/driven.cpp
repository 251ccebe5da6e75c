// SPDX-License-Identifier: MIT
#include "tools/damper/driven.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/parts/vehicle_fields.hpp"
#include "libdamper/scenario/check.hpp"

#include "tools/damper/any_description.hpp"

#include <filesystem>
#include <map>
#include <set>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr double warm_oil = 273.15 + 80.0;  // K, default of a scenario file

/// The files that values came from, with their digests: "file:line" is cut at the last colon.
std::vector<std::pair<std::string, std::string>> inputs_of(
    const fs::path& first, const std::map<std::string, std::string>& provenance) {
    std::set<std::string> files = {first.string()};
    for (const auto& [key, place] : provenance) {
        const std::size_t colon = place.rfind(':');
        if (colon == std::string::npos) continue;
        const std::string file = place.substr(0, colon);
        std::error_code ignored;
        if (fs::is_regular_file(file, ignored)) files.insert(file);
    }
    std::vector<std::pair<std::string, std::string>> inputs;
    for (const std::string& file : files) inputs.emplace_back(file, sha256_hex_of_file(file));
    return inputs;
}

}  // namespace

Scenario read_driven(const std::string& word, const ReadOptions& options, const std::string& verb) {
    const auto [file, kind] = find_description(word, options.models,
                                               {verb,
                                                "a scenario or a vehicle",
                                                {"scenarios", "vehicles"},
                                                {&scenario_schema(), &schema_of<Vehicle>()}});
    if (kind != &schema_of<Vehicle>()) return read_scenario(file, options);
    Scenario scenario;
    scenario.name = file.stem().string();
    scenario.vehicle = read_vehicle(file, options, &scenario.provenance, &scenario.written);
    scenario.title = scenario.vehicle.title;
    scenario.origin = scenario.vehicle.origin;
    Idle idle;
    idle.pedal = "up";
    scenario.manoeuvre = idle;
    scenario.conditions.gearbox_oil = Temperature::from_si(warm_oil);
    scenario.changes = options.changes;
    scenario.changed_from_outside = !options.changes.empty();
    scenario.inputs = inputs_of(file, scenario.provenance);
    return scenario;
}

}  // namespace damper::command
