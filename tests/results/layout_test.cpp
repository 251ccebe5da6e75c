// SPDX-License-Identifier: MIT
#include "libdamper/results/layout.hpp"

#include "libdamper/results/modes_layout.hpp"

#include <cstdlib>
#include <doctest/doctest.h>
#include <set>
#include <string>
#include <sys/wait.h>
#include <tuple>

using namespace damper;

namespace {

/// Takes in the units of a table; a table must not have two columns of one name.
template <class Columns>
void collect(const Columns& columns, std::set<std::string>& units) {
    std::set<std::string> names{"index"};
    const auto take_in = [&](const auto& column) {
        CHECK(names.insert(column.name).second);
        CHECK(std::string(column.meaning) != "");
        units.insert(column.units);
    };
    std::apply([&](const auto&... column) { (take_in(column), ...); }, columns);
}

std::set<std::string> all_units() {
    std::set<std::string> units;
    namespace l = layout;
    std::apply([&](const auto&... table) { (collect(table, units), ...); },
               std::tie(l::inputs, l::conditions, l::changes, l::causes, l::inertias, l::elements,
                        l::rows, l::parts, l::modes, l::guards, l::smooth, l::model_inputs,
                        l::input_parameters, l::input_tables, l::gear_path, l::impacts,
                        l::mode_changes, l::corners, l::stage_use, l::gear_impacts, l::judgements,
                        l::bands, l::energy, l::gear_points, l::engine_orders, l::mode_inertias,
                        l::mode_elements, l::mode_numbers, l::mode_by_inertia, l::mode_by_element));
    units.erase("");
    return units;
}

}  // namespace

TEST_CASE("every unit of the tables is one that UDUNITS reads") {
    const std::set<std::string> units = all_units();
    CHECK(units.count("N.m/rad") == 1);
    if (std::system("command -v udunits2 > /dev/null") != 0) {
        MESSAGE("skipped: udunits2 is not installed");
        return;
    }
    for (const std::string& unit : units) {
        CAPTURE(unit);
        const std::string command =
            "udunits2 -H '" + unit + "' -W '" + unit + "' 2>&1 | grep -q '^    1 '";
        CHECK(std::system(command.c_str()) == 0);
    }
}
