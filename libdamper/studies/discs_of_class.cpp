// SPDX-License-Identifier: MIT
#include "libdamper/studies/discs_of_class.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"

#include <algorithm>
#include <system_error>

namespace damper {

namespace {

/// How names of parts for a class begin, the longest way first.
std::vector<std::string> beginnings(std::string vehicle_class) {
    std::ranges::replace(vehicle_class, ' ', '_');
    const std::string last = vehicle_class.substr(vehicle_class.rfind('_') + 1);
    return {vehicle_class + "_", last + "_"};
}

bool is_for_flywheel(const std::filesystem::path& models, const std::string& disc, bool two_mass) {
    try {
        const Disc read = read_disc(models / "discs" / (disc + ".toml"),
                                    {.models = models, .changes = {}, .measures = {}});
        return read.flywheel != (two_mass ? "solid" : "two-mass");
    } catch (const InputError&) {
        return true;
    }
}

}  // namespace

std::vector<std::string> discs_of_class(const std::filesystem::path& models,
                                        const std::string& vehicle_class, bool two_mass_flywheel) {
    std::vector<std::string> names;
    std::error_code error;
    for (const auto& entry : std::filesystem::directory_iterator(models / "discs", error)) {
        if (entry.path().extension() == ".toml") names.push_back(entry.path().stem().string());
    }
    std::ranges::sort(names);
    for (const std::string& beginning : beginnings(vehicle_class)) {
        std::vector<std::string> out;
        std::ranges::copy_if(names, std::back_inserter(out), [&](const std::string& name) {
            return name.starts_with(beginning) && is_for_flywheel(models, name, two_mass_flywheel);
        });
        if (!out.empty()) return out;
    }
    return {};
}

std::string name_for_class(const std::filesystem::path& folder, const std::string& name,
                           const std::string& vehicle_class) {
    for (const std::string other : {"car", "light van", "medium truck", "heavy truck"}) {
        for (const std::string& theirs : beginnings(other)) {
            if (!name.starts_with(theirs)) continue;
            for (const std::string& ours : beginnings(vehicle_class)) {
                const std::string own = ours + name.substr(theirs.size());
                if (std::filesystem::exists(folder / (own + ".toml"))) return own;
            }
        }
    }
    return name;
}

}  // namespace damper
