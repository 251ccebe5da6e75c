// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/layout.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <string>
#include <tuple>
#include <type_traits>
#include <vector>

namespace damper {

/// A name that is safe as the heading of a CSV column: "N.m" → "N_m", "W/m2" → "W_per_m2".
[[nodiscard]] inline std::string heading_units(std::string_view units) {
    std::string out;
    for (const char c : units) {
        if (c == '/') {
            out += "_per_";
        } else {
            out += c == '.' || c == '-' ? '_' : c;
        }
    }
    return out;
}

/// Rows as CSV: SI, units in the header ("wear_m"), nine digits. Texts must hold no comma or quote.
template <class Row, class Columns>
[[nodiscard]] std::string table_csv(const std::vector<Row>& rows, const Columns& columns) {
    std::string text;
    const auto apart = [&] {
        if (!text.empty() && text.back() != '\n') text += ',';
    };
    std::apply(
        [&](const auto&... column) {
            const auto head = [&](const auto& one) {
                apart();
                text += one.name;
                const std::string units = heading_units(one.units);
                if (!units.empty() && units != "1") text += "_" + units;
            };
            (head(column), ...);
        },
        columns);
    text += '\n';
    for (const Row& row : rows) {
        std::apply(
            [&](const auto&... column) {
                const auto cell = [&](const auto& one) {
                    apart();
                    const auto& value = row.*one.member;
                    if constexpr (std::is_same_v<std::decay_t<decltype(value)>, double>) {
                        text += fmt::format("{:.9g}", value);
                    } else {
                        text += fmt::format("{}", value);
                    }
                };
                (cell(column), ...);
            },
            columns);
        text += '\n';
    }
    return text;
}

/// Rows as a list of JSON objects, SI.
template <class Row, class Columns>
[[nodiscard]] nlohmann::ordered_json table_json(const std::vector<Row>& rows,
                                                const Columns& columns) {
    auto out = nlohmann::ordered_json::array();
    for (const Row& row : rows) {
        nlohmann::ordered_json one;
        std::apply([&](const auto&... column) { ((one[column.name] = row.*column.member), ...); },
                   columns);
        out.push_back(std::move(one));
    }
    return out;
}

/// Unit of each column.
template <class Columns>
[[nodiscard]] nlohmann::ordered_json units_json(const Columns& columns) {
    nlohmann::ordered_json out = nlohmann::ordered_json::object();
    const auto add = [&](const auto& column) {
        if (*column.units != '\0') out[column.name] = column.units;
    };
    std::apply([&](const auto&... column) { (add(column), ...); }, columns);
    return out;
}

}  // namespace damper
