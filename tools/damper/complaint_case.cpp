// SPDX-License-Identifier: MIT
#include "tools/damper/complaint_case.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/studies/cover_study.hpp"
#include "libdamper/studies/workshop_figures.hpp"

#include "tools/damper/command_line.hpp"

#include <fmt/format.h>
#include <string_view>
#include <system_error>
#include <variant>

namespace damper::command {

namespace fs = std::filesystem;

fs::path complaint_file(const std::string& word, const fs::path& models) {
    std::error_code error;
    if (fs::exists(word, error)) return word;
    const fs::path folder = models.parent_path() / "scenarios" / "complaints";
    const fs::path known = folder / (word + ".toml");
    if (fs::exists(known, error)) return known;
    throw InputError(
        fmt::format("there is no complaint {}{}\n    Write one: damper diagnose --ask "
                    "FILE.toml",
                    word, did_you_mean(word, names_in(folder))));
}

std::vector<std::pair<std::string, std::string>> measures_of(const Knowledge& knowledge,
                                                             const fs::path& models) {
    std::vector<std::pair<std::string, std::string>> out = known_measures();
    const auto workshop = known_workshop_figures();
    out.insert(out.end(), workshop.begin(), workshop.end());
    for (const ComplaintKind& kind : knowledge.kinds) {
        for (const ComplaintRun& run : kind.runs) {
            if (run.cover.empty()) continue;
            Scenario scenario;
            scenario.vehicle = read_vehicle(models / "vehicles" / (run.cover + ".toml"),
                                            {.models = models, .changes = {}, .measures = {}});
            for (const MeasureValue& one : study_cover(scenario, {}).figures) {
                out.emplace_back(one.name, one.units);
            }
            return out;
        }
    }
    return out;
}

std::string vehicle_of(const Complaint& complaint, const fs::path& file, const fs::path& models) {
    std::error_code error;
    const fs::path beside = file.parent_path() / complaint.vehicle;
    if (fs::is_regular_file(beside, error)) return fs::absolute(beside).string();
    const fs::path folder = models / "vehicles";
    if (fs::exists(folder / (complaint.vehicle + ".toml"), error)) return complaint.vehicle;
    throw InputError(fmt::format("{}: there is no vehicle {}{}", file.string(), complaint.vehicle,
                                 did_you_mean(complaint.vehicle, names_in(folder))));
}

std::vector<BuiltIn> vehicles_with_parts(const fs::path& models) {
    std::vector<BuiltIn> out = built_in("vehicles", models);
    for (BuiltIn& one : out) {
        const Vehicle vehicle = read_vehicle(models / "vehicles" / (one.name + ".toml"),
                                             {.models = models, .changes = {}, .measures = {}});
        one.detail = fmt::format(
            "{}; {} cylinders, {} flywheel, {}, disc of {}", vehicle.vehicle_class,
            vehicle.engine.cylinders, vehicle.two_mass_flywheel ? "two-mass" : "solid",
            vehicle.mounts ? "engine mounts" : "no engine mounts told",
            vehicle.disc.stages.size() == 1 ? "one stage"
                                            : fmt::format("{} stages", vehicle.disc.stages.size()));
    }
    return out;
}

bool is_complaint(const std::string& word, const fs::path& models) {
    std::error_code error;
    if (!fs::exists(word, error)) {
        return fs::exists(models.parent_path() / "scenarios" / "complaints" / (word + ".toml"),
                          error);
    }
    if (!fs::is_regular_file(word, error)) return false;
    constexpr std::size_t largest_file = std::size_t{1} << 20U;  // [bytes]
    const auto bytes = file_bytes(word, largest_file);
    const auto* text = std::get_if<std::string>(&bytes);
    return text != nullptr && ("\n" + *text).find("\nsymptom") != std::string::npos;
}

}  // namespace damper::command
