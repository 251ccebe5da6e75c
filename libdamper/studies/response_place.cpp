// SPDX-License-Identifier: MIT
#include "libdamper/studies/response_place.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>

namespace damper {

namespace {

constexpr const char* flywheel = "flywheel";
constexpr const char* gearbox_input = "gearbox input";
constexpr const char* drive_shafts = "drive shafts";

std::optional<int> find_inertia(const Assembled& assembled, const std::string& name) {
    if (name == flywheel) return assembled.engine;
    if (name == gearbox_input) return assembled.input_shaft;
    const std::vector<RotatingMass>& masses = assembled.line.masses;
    const auto at = std::find_if(masses.begin(), masses.end(),
                                 [&](const RotatingMass& one) { return one.name == name; });
    if (at == masses.end()) return {};
    return static_cast<int>(at - masses.begin());
}

/// Elements in the order of Linearised::elements.
std::vector<std::string> element_names(const Assembled& assembled) {
    std::vector<std::string> names;
    for (const Branch& branch : assembled.line.branches) names.push_back(branch.name);
    for (const SmoothBranch& smooth : assembled.line.smooth) names.push_back(smooth.name);
    return names;
}

std::vector<std::size_t> find_elements(const Assembled& assembled, const std::string& name) {
    if (name == drive_shafts) {
        return {assembled.drive_shafts.begin(), assembled.drive_shafts.end()};
    }
    const std::vector<std::string> names = element_names(assembled);
    const auto at = std::find(names.begin(), names.end(), name);
    if (at == names.end()) return {};
    return {static_cast<std::size_t>(at - names.begin())};
}

std::vector<std::string> inertia_names(const Assembled& assembled) {
    std::vector<std::string> names = {flywheel, gearbox_input};
    for (const RotatingMass& one : assembled.line.masses) names.push_back(one.name);
    return names;
}

[[noreturn]] void refuse(const std::string& what, const std::string& name,
                         const std::vector<std::string>& known) {
    const std::string near = nearest_word(name, known);
    throw InputError(fmt::format("{} \"{}\" in this driveline{}\n    There are: {}", what, name,
                                 near.empty() ? "" : fmt::format("; did you mean \"{}\"?", near),
                                 fmt::join(known, ", ")));
}

struct Asked {
    const char* word;
    Observed of_inertia;
    std::optional<Observed> of_element;
    const char* units;
};

constexpr Asked angle{"angle", Observed::angle, Observed::twist, "rad/(N.m)"};
constexpr Asked speed{"speed", Observed::speed, Observed::twist_rate, "(rad/s)/(N.m)"};
constexpr Asked acceleration{"acceleration", Observed::acceleration, {}, "(rad/s2)/(N.m)"};

std::string key_of(std::string name, const std::string& quantity) {
    for (char& c : name) {
        if (c == ' ' || c == '/') c = '_';
    }
    return name + "_" + quantity;
}

NamedPlace named(const std::string& name, const std::string& quantity, const std::string& label,
                 const char* units) {
    return {.name = key_of(name, quantity), .label = label, .units = units, .pickups = {}};
}

NamedPlace at_elements(const std::string& name, const std::vector<std::size_t>& elements,
                       const std::string& quantity) {
    NamedPlace out;
    Observed taken = Observed::torque;
    if (quantity.empty() || quantity == "torque") {
        out = named(name, "torque", fmt::format("torque in the {}", name), "1");
    } else if (quantity == angle.word) {
        taken = Observed::twist;
        out = named(name, "twist", fmt::format("twist of the {}", name), angle.units);
    } else if (quantity == speed.word) {
        taken = Observed::twist_rate;
        out = named(name, "twist_rate", fmt::format("rate of twist of the {}", name), speed.units);
    } else {
        throw InputError(fmt::format(
            "\"{}\" is no inertia and has no {}; expected torque, angle or speed of its twist, or "
            "an inertia beside it",
            name, quantity));
    }
    for (const std::size_t element : elements) out.pickups.push_back({taken, element});
    return out;
}

NamedPlace at_inertia(const std::string& name, int inertia, const std::string& quantity) {
    const Asked& asked = quantity.empty() || quantity == speed.word ? speed
                         : quantity == angle.word                   ? angle
                                                                    : acceleration;
    NamedPlace out =
        named(name, asked.word, fmt::format("{} of the {}", asked.word, name), asked.units);
    out.pickups.push_back({asked.of_inertia, static_cast<std::size_t>(inertia)});
    return out;
}

}  // namespace

std::vector<std::string> place_names(const Assembled& assembled) {
    std::vector<std::string> names = inertia_names(assembled);
    if (!assembled.drive_shafts.empty()) names.emplace_back(drive_shafts);
    for (std::string& name : element_names(assembled)) {
        // A loose gear and its play carry one name.
        if (std::find(names.begin(), names.end(), name) == names.end()) {
            names.push_back(std::move(name));
        }
    }
    return names;
}

int inertia_called(const Assembled& assembled, const std::string& name) {
    if (name == "engine torque") return assembled.engine;
    if (const auto inertia = find_inertia(assembled, name)) return *inertia;
    std::vector<std::string> known = inertia_names(assembled);
    known.insert(known.begin(), "engine torque");
    refuse("no inertia", name, known);
}

NamedPlace place_called(const Assembled& assembled, const std::string& name,
                        const std::string& quantity) {
    const std::optional<int> inertia = find_inertia(assembled, name);
    const std::vector<std::size_t> elements = find_elements(assembled, name);
    if (inertia && quantity != "torque") return at_inertia(name, *inertia, quantity);
    if (!elements.empty()) return at_elements(name, elements, quantity);
    if (inertia) {
        throw InputError(fmt::format(
            "\"{}\" is an inertia and carries no torque of its own; expected speed, acceleration "
            "or angle, or an element beside it: {}",
            name, fmt::join(element_names(assembled), ", ")));
    }
    refuse("no inertia or element", name, place_names(assembled));
}

}  // namespace damper
