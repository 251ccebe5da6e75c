// SPDX-License-Identifier: MIT
#include "libdamper/parts/gearbox.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <fmt/format.h>
#include <map>

namespace damper {

std::vector<Finding> check(const Oil& oil) {
    if (oil.viscosity_100 < oil.viscosity_40) return {};
    return {{{},
             "viscosity_100",
             write_quantity(oil.viscosity_100),
             "less than viscosity_40, which is " + write_quantity(oil.viscosity_40),
             "Oil is thinner when it is hot; the two values may be swapped."}};
}

std::vector<Finding> check(const Gearbox& gearbox) {
    std::vector<Finding> findings;
    if (gearbox.gears.empty()) {
        findings.push_back({{}, "gears", "no gear", "at least one", "Add a table [[gears]]."});
    }
    std::map<std::string, std::size_t> first;
    for (std::size_t i = 0; i < gearbox.gears.size(); ++i) {
        const GearPair& gear = gearbox.gears[i];
        const auto [at, is_new] = first.emplace(gear.name, i);
        if (!is_new || gear.name.empty()) {
            findings.push_back({{},
                                fmt::format("gears[{}].name", i),
                                is_new ? "an empty name"
                                       : fmt::format("{}, which is also the name of gears[{}]",
                                                     "\"" + gear.name + "\"", at->second),
                                "a name of its own for each gear",
                                ""});
        }
        if (gear.backlash >= gear.pitch_radius) {
            findings.push_back(
                {{},
                 fmt::format("gears[{}].backlash", i),
                 write_quantity(gear.backlash),
                 "less than the pitch radius, which is " + write_quantity(gear.pitch_radius),
                 "Backlash is usually 0.05 mm to 0.3 mm."});
        }
    }
    return findings;
}

std::vector<Finding> check(const Axle& axle) {
    if (axle.propshaft_stiffness.si() == 0.0 || axle.propshaft_inertia.si() > 0.0) return {};
    return {{{},
             "propshaft_inertia",
             write_quantity(axle.propshaft_inertia),
             "more than 0 kg m2, because propshaft_stiffness is " +
                 write_quantity(axle.propshaft_stiffness),
             "Give the inertia of pinion and propshaft end, or a stiffness of 0."}};
}

}  // namespace damper
