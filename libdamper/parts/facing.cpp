// SPDX-License-Identifier: MIT
#include "libdamper/parts/facing.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

template <class Entry, class Value>
void check_rising(const std::vector<Entry>& list, std::string_view name, std::string_view key,
                  Value Entry::*member, std::vector<Finding>& findings) {
    for (std::size_t i = 1; i < list.size(); ++i) {
        if (list[i].*member > list[i - 1].*member) continue;
        findings.push_back(
            {{},
             fmt::format("{}[{}].{}", name, i, key),
             write_quantity(list[i].*member),
             "more than " + write_quantity(list[i - 1].*member) + ", that of the point before it",
             "Points are listed from low to high."});
        return;
    }
}

}  // namespace

std::vector<Finding> check(const Facing& facing) {
    std::vector<Finding> findings;
    if (facing.inner_diameter >= facing.outer_diameter) {
        findings.push_back({{},
                            "inner_diameter",
                            write_quantity(facing.inner_diameter),
                            "less than outer_diameter, " + write_quantity(facing.outer_diameter),
                            "The two values may be swapped."});
    }
    if (facing.faces % 2 != 0) {
        findings.push_back({{},
                            "faces",
                            fmt::format("{}", facing.faces),
                            "an even number, two for each disc",
                            "One disc has 2 rubbing faces, two discs have 4."});
    }
    if (facing.friction_tolerance >= facing.friction) {
        findings.push_back({{},
                            "friction_tolerance",
                            write_quantity(facing.friction_tolerance),
                            "less than the friction itself, " + write_quantity(facing.friction),
                            "It is a part of the coefficient, not of one: 0.28 ± 0.03."});
    }
    if (facing.wear > facing.wear_allowance) {
        findings.push_back({{},
                            "wear",
                            write_quantity(facing.wear),
                            "at most wear_allowance, " + write_quantity(facing.wear_allowance),
                            "Beyond it rivets rub on the plates. Wear is that of one face."});
    }
    check_rising(facing.slip_friction, "slip_friction", "speed", &SlipFrictionPoint::speed,
                 findings);
    check_rising(facing.fade, "fade", "temperature", &FadePoint::temperature, findings);
    check_rising(facing.cushion, "cushion", "deflection", &CushionPoint::deflection, findings);
    check_rising(facing.cushion, "cushion", "load", &CushionPoint::load, findings);
    return findings;
}

}  // namespace damper
