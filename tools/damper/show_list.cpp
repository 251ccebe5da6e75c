// SPDX-License-Identifier: MIT
#include "tools/damper/show_list.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include "tools/damper/built_in.hpp"
#include "tools/damper/locate.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

namespace damper::command {

namespace {

struct Shelf {
    std::string heading;
    std::vector<BuiltIn> items;
};

constexpr std::array<std::pair<const char*, const char*>, 14> kinds{
    {{"scenarios", "Scenarios"},
     {"vehicles", "Vehicles"},
     {"discs", "Discs"},
     {"covers", "Clutch covers"},
     {"facings", "Facings"},
     {"engines", "Engines"},
     {"flywheels", "Two-mass flywheels"},
     {"gearboxes", "Gearboxes"},
     {"oils", "Oils"},
     {"axles", "Axles"},
     {"tyres", "Tyres"},
     {"causes", "Causes"},
     {"scenarios/complaints", "Complaints"},
     {"scenarios/studies", "Studies"}}};

/// "car" of "car_soft": discs and vehicles that belong together share it.
std::string first_part(const std::string& name) {
    return name.substr(0, name.find('_'));
}

/// Discs say nothing of the class of vehicle that they are for; their names do.
std::vector<Shelf> by_class(const Shelf& discs, const std::vector<BuiltIn>& vehicles) {
    std::vector<Shelf> shelves;
    std::vector<BuiltIn> left = discs.items;
    for (const BuiltIn& vehicle : vehicles) {
        Shelf shelf{fmt::format("{}, {}", discs.heading, vehicle.detail), {}};
        const auto kept = std::stable_partition(left.begin(), left.end(), [&](const BuiltIn& disc) {
            return first_part(disc.name) != first_part(vehicle.name);
        });
        shelf.items.assign(kept, left.end());
        left.erase(kept, left.end());
        if (!shelf.items.empty()) shelves.push_back(std::move(shelf));
    }
    if (!left.empty()) shelves.push_back({shelves.empty() ? "Discs" : "Discs, other", left});
    return shelves;
}

std::string as_text(const std::vector<Shelf>& shelves) {
    std::size_t width = 0;
    for (const Shelf& shelf : shelves) {
        for (const BuiltIn& item : shelf.items) {
            width = std::max(width, columns_of(visible_text(item.name)));
        }
    }
    std::string text;
    for (const Shelf& shelf : shelves) {
        text += visible_text(shelf.heading) + "\n";
        for (const BuiltIn& item : shelf.items) {
            const std::string name = visible_text(item.name);
            const std::size_t gap = item.title.empty() ? 0 : width - columns_of(name) + 2;
            text += fmt::format("  {}{:{}}{}\n", name, "", gap, visible_text(item.title));
        }
        text += "\n";
    }
    return text +
           "A scenario:  damper run NAME, its values: damper show NAME\n"
           "A vehicle:   damper show NAME\n"
           "A disc:      damper loop NAME, in a scenario: damper run SCENARIO --set disc=NAME\n"
           "A cause:     damper run SCENARIO --cause NAME\n"
           "A complaint: damper diagnose NAME\n"
           "A study:     damper VERB NAME; the verb stands before its title\n"
           "Other parts: --set engine=NAME, two_mass_flywheel=, cover=, facing=, gearbox=, "
           "gearbox.oil=, axle=, tyre=; two_mass_flywheel=none takes it out\n";
}

}  // namespace

std::string built_in_list(const std::filesystem::path& models, const std::string& format) {
    std::vector<Shelf> shelves;
    nlohmann::ordered_json json;
    std::vector<BuiltIn> vehicles;
    for (const auto& [kind, heading] : kinds) {
        Shelf shelf{heading, built_in(kind, models)};
        const std::string key = std::string(kind).substr(std::string_view(kind).rfind('/') + 1);
        json[key] = nlohmann::ordered_json::array();
        for (const BuiltIn& item : shelf.items) {
            json[key].push_back({{"name", item.name}, {"title", item.title}});
        }
        if (shelf.items.empty()) continue;
        if (shelf.heading == "Studies") {
            for (BuiltIn& item : shelf.items) item.title = item.detail + ": " + item.title;
        }
        if (shelf.heading == "Vehicles") vehicles = shelf.items;
        if (shelf.heading == "Discs") {
            for (Shelf& one : by_class(shelf, vehicles)) shelves.push_back(std::move(one));
        } else {
            shelves.push_back(shelf);
        }
    }
    if (shelves.empty()) {
        throw InputError(models.empty() ? no_models()
                                        : "there is nothing to list in " + models.string());
    }
    if (format == "text") return as_text(shelves);
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace damper::command
