// SPDX-License-Identifier: MIT
#include "libdamper/studies/mode_names.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <string_view>

namespace damper {

namespace {

constexpr double most_of_it = 0.5;      // common practice, no source
constexpr double worth_telling = 1e-3;  // share of the frequency at +10 %

/// Names of inertias and elements as assemble/ gives them.
bool is_loose_gear(std::string_view name) {
    return name.starts_with("gear ") && name.ends_with(" loose");
}
bool is_engaged(std::string_view name) {
    return name.starts_with("gear ") && name.ends_with(" engaged");
}
bool is_disc(std::string_view name) {
    return name == "disc" || name == "disc outer stages" || name == "disc first stage";
}
bool is_flywheel(std::string_view name) {
    return name == "two-mass flywheel";
}
bool is_wheel(std::string_view name) {
    return name.starts_with("wheel ") || name.starts_with("tyre ");
}
bool is_wheel_side(std::string_view name) {
    return name.starts_with("half shaft ") || name.starts_with("tyre carcass ") ||
           name == "propshaft";
}
bool is_gearbox(std::string_view name) {
    return name == "input shaft" || name == "gearbox output" || name == "disc flange" ||
           is_loose_gear(name);
}

/// "gear 3 loose" → "3".
std::string gear_of(std::string_view name) {
    name.remove_prefix(std::string_view("gear ").size());
    return std::string(name.substr(0, name.rfind(' ')));
}

using Wanted = std::function<bool(std::string_view)>;

double kinetic_in(const GearModes& gear, const ModeRow& mode, const Wanted& wanted) {
    double sum = 0.0;
    for (std::size_t i = 0; i < gear.inertias.size(); ++i) {
        if (wanted(gear.inertias[i].name)) sum += mode.kinetic_share[i];
    }
    return sum;
}

double strain_in(const GearModes& gear, const ModeRow& mode, const Wanted& wanted) {
    double sum = 0.0;
    for (std::size_t e = 0; e < gear.elements.size(); ++e) {
        if (wanted(gear.elements[e].name)) sum += mode.strain_share[e];
    }
    return sum;
}

double angle_of(const GearModes& gear, const ModeRow& mode, std::string_view name) {
    for (std::size_t i = 0; i < gear.inertias.size(); ++i) {
        if (gear.inertias[i].name == name) return mode.shape[i];
    }
    return 0.0;
}

/// Left and right turn against each other and next to nothing else moves.
bool is_left_against_right(const GearModes& gear, const ModeRow& mode) {
    const Wanted is_sided = [](std::string_view name) {
        return is_wheel(name) || name.starts_with("differential ");
    };
    const double wheels = angle_of(gear, mode, "wheel left") * angle_of(gear, mode, "wheel right");
    const double sides =
        angle_of(gear, mode, "differential left") * angle_of(gear, mode, "differential right");
    constexpr double nothing_else = 0.99;
    return wheels <= 0.0 && sides <= 0.0 && wheels + sides < 0.0 &&
           kinetic_in(gear, mode, is_sided) > nothing_else;
}

/// In the sense of rotation, whatever the ratio: a reverse gear turns round nothing here.
bool against_each_other(const GearModes& gear, const ModeRow& mode) {
    double ratio = 1.0;
    for (const GearModes::Inertia& inertia : gear.inertias) {
        if (inertia.name == "vehicle") ratio = inertia.ratio;
    }
    return angle_of(gear, mode, "engine") * angle_of(gear, mode, "vehicle") * ratio < 0.0;
}

/// Loose gears that hold the most strain of a mode that is theirs.
std::string strongest_loose_gear(const GearModes& gear, const ModeRow& mode) {
    std::size_t best = 0;
    double most = -1.0;
    for (std::size_t e = 0; e < gear.elements.size(); ++e) {
        if (is_loose_gear(gear.elements[e].name) && mode.strain_share[e] > most) {
            most = mode.strain_share[e];
            best = e;
        }
    }
    return gear_of(gear.elements[best].name);
}

std::string name_on_disc(const GearModes& gear, const ModeRow& mode, bool is_lowest) {
    const std::string stage = gear.disc_stage == "stop" || gear.disc_stage == "between stages"
                                  ? gear.disc_stage
                                  : gear.disc_stage + " stage";
    if (is_lowest && gear.ratio != 0.0 && against_each_other(gear, mode) &&
        kinetic_in(gear, mode, is_gearbox) < most_of_it) {
        return "shuffle on the disc, " + stage;
    }
    if (kinetic_in(gear, mode, is_gearbox) >= most_of_it) {
        return "input shaft on the disc, " + stage;
    }
    return "engine on the disc, " + stage;
}

std::string what_of(const GearModes& gear, const std::string& element) {
    if (is_disc(element)) {
        return element == "disc" ? fmt::format("disc, {} stage, stiffness", gear.disc_stage)
                                 : element + " stiffness";
    }
    if (is_loose_gear(element) || is_engaged(element)) {
        return fmt::format("gear {} tooth stiffness", gear_of(element));
    }
    if (element == "final drive") return "final drive tooth stiffness";
    return without_side(element) + " stiffness";
}

std::string what_of_inertia(const std::string& name) {
    return (is_loose_gear(name) ? fmt::format("loose gear {}", gear_of(name))
                                : without_side(name)) +
           " inertia";
}

}  // namespace

std::string mode_name(const GearModes& gear, std::size_t at) {
    const ModeRow& mode = gear.modes[at];
    if (mode.repeated) return "";
    const auto strained = [&](const Wanted& wanted) {
        return strain_in(gear, mode, wanted) >= most_of_it;
    };
    if (strained(is_loose_gear)) {
        return fmt::format("loose gear {} on its teeth", strongest_loose_gear(gear, mode));
    }
    if (strained(is_engaged)) return fmt::format("gear {} teeth", gear.gear);
    if (strained([](std::string_view name) { return name == "final drive"; })) {
        return "final drive teeth";
    }
    if (strained([](std::string_view name) { return name == "propshaft"; })) return "propshaft";
    if (is_left_against_right(gear, mode)) {
        return kinetic_in(gear, mode, is_wheel) >= most_of_it ? "wheels, left against right"
                                                              : "differential, left against right";
    }
    // The mounts of the power unit are in series with the drive shafts.
    const Wanted gives = [](std::string_view name) {
        return is_wheel_side(name) || name == "mounts";
    };
    if (at == 0 && gear.ratio != 0.0 && strained(gives) && against_each_other(gear, mode)) {
        return "shuffle";
    }
    if (strained(is_disc)) return name_on_disc(gear, mode, at == 0);
    if (strained(is_flywheel)) {
        const bool shuffles = at == 0 && gear.ratio != 0.0 && against_each_other(gear, mode);
        return shuffles ? "shuffle on the two-mass flywheel" : "two-mass flywheel";
    }
    const auto moves = [&](const Wanted& wanted) {
        return kinetic_in(gear, mode, wanted) >= most_of_it;
    };
    if (moves([](std::string_view name) { return name == "power unit"; })) {
        return "power unit rolls on its mounts";
    }
    if (strained(is_wheel_side) && kinetic_in(gear, mode, is_wheel) >= most_of_it) {
        return "wheels on their tyres";
    }
    return "";
}

std::vector<ModeInfluence> influences_on(const GearModes& gear, std::size_t at, std::size_t most) {
    const ModeRow& mode = gear.modes[at];
    std::vector<ModeInfluence> all;
    const auto add = [&](const std::string& what, double change) {
        const auto known = std::find_if(all.begin(), all.end(),
                                        [&](const ModeInfluence& i) { return i.what == what; });
        if (known != all.end()) {
            known->per_tenth += 0.1 * change;
        } else {
            all.push_back({what, 0.1 * change});
        }
    };
    for (std::size_t e = 0; e < gear.elements.size(); ++e) {
        add(what_of(gear, gear.elements[e].name), mode.change_by_stiffness[e]);
    }
    for (std::size_t i = 0; i < gear.inertias.size(); ++i) {
        add(what_of_inertia(gear.inertias[i].name), mode.change_by_inertia[i]);
    }
    std::erase_if(all, [&](const ModeInfluence& influence) {
        return std::abs(influence.per_tenth) < worth_telling * mode.frequency;
    });
    std::stable_sort(all.begin(), all.end(), [](const ModeInfluence& x, const ModeInfluence& y) {
        return std::abs(x.per_tenth) > std::abs(y.per_tenth);
    });
    if (all.size() > most) all.resize(most);
    return all;
}

}  // namespace damper
