// SPDX-License-Identifier: MIT
#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {
namespace {

struct Row {
    std::string_view units;
    double factor;
    std::string_view shown;
};

constexpr double degree = 180.0 / std::numbers::pi;
constexpr double rpm = 30.0 / std::numbers::pi;
constexpr std::array<Row, 27> rows{{{"1", 1.0, ""},
                                    {"rad", degree, "°"},
                                    {"rad/s", rpm, "rpm"},
                                    {"rad s-1", rpm, "rpm"},
                                    {"rad/s2", 1.0, "rad/s²"},
                                    {"rad s-2", 1.0, "rad/s²"},
                                    {"m/s2", 1.0, "m/s²"},
                                    {"m/s3", 1.0, "m/s³"},
                                    {"m/s1.75", 1.0, "m/s^1.75"},
                                    {"N.m", 1.0, "N m"},
                                    {"N.m.s", 1.0, "N m s"},
                                    {"N.m/rad", 1.0 / degree, "N m/°"},
                                    {"N.m.s/rad", 1.0, "N m s/rad"},
                                    {"s-1", 1.0, "per second"},
                                    {"1/s", 1.0, "per second"},
                                    {"kg.m2", 1.0, "kg m²"},
                                    {"W", 1.0, "W"},
                                    {"J", 1.0, "J"},
                                    {"percent", 1.0, "%"},
                                    {"m", 1e3, "mm"},
                                    {"N", 1.0, "N"},
                                    {"Pa", 1e-6, "MPa"},
                                    {"J/m2", 1e-6, "J/mm²"},
                                    {"W/m2", 1e-6, "W/mm²"},
                                    {"m/s", 3.6, "km/h"},
                                    {"s", 1.0, "s"},
                                    {"K", 1.0, "°C"}}};
constexpr double celsius = -273.15;

}  // namespace

Shown shown_as(std::string_view units, double magnitude) {
    const auto row =
        std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.units == units; });
    if (row == rows.end()) return {.factor = 1.0, .units = std::string(units)};
    if ((units == "W" || units == "J") && std::abs(magnitude) < 0.1) {
        return {.factor = 1000.0, .units = fmt::format("m{}", units)};
    }
    return {.factor = row->factor,
            .units = std::string(row->shown),
            .offset = units == "K" ? celsius : 0.0};
}

Shown measure_shown_as(std::string_view measure, std::string_view units, double magnitude) {
    if (measure == "vibration_dose_value") return {.factor = 1.0, .units = "m/s^1.75"};
    return shown_as(units, magnitude);
}

std::string table_number(double value, double scale) {
    const double size = std::abs(value);
    const double least = 1e-4 * std::abs(scale);
    if (!std::isfinite(value) || size == 0.0) return number_text(value);
    if (size < least) return fmt::format("< {:.1g}", least);
    return size < 1e-2 || size >= 1e7 ? fmt::format("{:.2g}", value) : number_text(value);
}

std::string table_units(const Shown& shown) {
    return shown.units == "per second" ? "1/s" : shown.units;
}

std::string number_text(double value) {
    if (!std::isfinite(value)) return "–";
    const double size = std::abs(value);
    if (size == 0.0) return "0";
    if (size < 1e-4 || size >= 1e7) return fmt::format("{:.3g}", value);
    if (size >= 1000.0) return fmt::format("{:.0f}", value);
    return fmt::format("{:.4g}", value);
}

std::string quantity_text(double value, std::string_view units) {
    const Shown shown = shown_as(units, value);
    return with_units(number_text(shown.of(value)), shown.units);
}

std::string with_units(std::string number, std::string_view units) {
    if (!units.empty() && units != "°") number.push_back(' ');
    number += units;
    return number;
}

std::string percent_text(double share) {
    if (!std::isfinite(share)) return "–";
    const double percent = 100.0 * share;
    const double size = std::abs(percent);
    if (size != 0.0 && size < 0.1) return fmt::format("{:.2g} %", percent);
    return fmt::format("{:.1f} %", percent);
}

std::string key_text(std::string_view key) {
    std::string text(key);
    std::replace(text.begin(), text.end(), '_', ' ');
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
        text[0] = static_cast<char>(text[0] - 'a' + 'A');
    }
    return text;
}

}  // namespace damper
