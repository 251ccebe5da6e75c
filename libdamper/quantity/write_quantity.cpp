// SPDX-License-Identifier: MIT
#include "libdamper/quantity/write_quantity.hpp"

#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/unit_table.hpp"

#include <array>
#include <cmath>
#include <cstdlib>
#include <fmt/format.h>
#include <string_view>
#include <utility>
#include <variant>

namespace damper {

namespace {

std::string in_base_units(const Dimension& d) {
    const std::array<std::pair<std::string_view, int>, 5> powers{
        {{"kg", d.mass}, {"m", d.length}, {"s", d.time}, {"K", d.temperature}, {"rad", d.angle}}};
    std::string text;
    for (const auto& [name, power] : powers) {
        if (power == 0) continue;
        if (!text.empty()) text += ".";
        text += power == 1 ? std::string(name) : fmt::format("{}{}", name, power);
    }
    return text.empty() ? "1" : text;
}

std::string join(const std::string& number, std::string_view unit) {
    return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

ReadUnit known_unit(std::string_view unit) {
    return std::get<ReadUnit>(read_unit(unit));
}

double in_unit(double si, const ReadUnit& unit) {
    return (si - unit.offset) * unit.denominator / unit.numerator;
}

/// The unit of the user's habit; very short times are spoken of in microseconds.
std::string_view habit(double si, const DimensionName& name) {
    const bool short_time = name.dimension == Time::dimension && si != 0.0 && std::abs(si) < 1e-3;
    return short_time ? "us" : name.preferred;
}

bool reads_back(const std::string& text, double si, const Dimension& dimension) {
    const auto back = read_quantity(text, dimension);
    const double* value = std::get_if<double>(&back);
    return value != nullptr && *value == si;
}

}  // namespace

std::string si_units(const Dimension& dimension) {
    const DimensionName* name = name_of(dimension);
    return name != nullptr ? std::string(name->si) : in_base_units(dimension);
}

std::string spoken(const Dimension& dimension) {
    const DimensionName* name = name_of(dimension);
    return name != nullptr ? std::string(name->noun) : "something in " + in_base_units(dimension);
}

std::string write_quantity(double si, const Dimension& dimension, int digits) {
    const DimensionName* name = name_of(dimension);
    const std::string unit =
        name != nullptr ? std::string(habit(si, *name)) : in_base_units(dimension);
    return join(fmt::format("{:.{}g}", in_unit(si, known_unit(unit)), digits), unit);
}

std::string write_exact(double si, const Dimension& dimension) {
    const DimensionName* name = name_of(dimension);
    if (name != nullptr) {
        const std::string_view unit = habit(si, *name);
        const double value = in_unit(si, known_unit(unit));
        for (const int digits : {6, 9, 12, 15}) {
            std::string text = join(fmt::format("{:.{}g}", value, digits), unit);
            if (reads_back(text, si, dimension)) return text;
        }
        std::string text = join(fmt::format("{}", value), unit);
        if (reads_back(text, si, dimension)) return text;
    }
    const std::string unit = si_units(dimension);
    return join(fmt::format("{}", si), unit == "1" ? "" : unit);
}

}  // namespace damper
