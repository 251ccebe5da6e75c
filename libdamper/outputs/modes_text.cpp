// SPDX-License-Identifier: MIT
#include "libdamper/outputs/modes_text.hpp"

#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/slipping_words.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <fmt/format.h>
#include <numbers>
#include <vector>

namespace damper {

namespace {

using Cells = std::vector<std::string>;

constexpr std::size_t width = 100;
constexpr std::size_t influences_shown = 3;
constexpr double rpm = std::numbers::pi / 30.0;

void put_heading(std::string& out, const ModesRecord& record) {
    const RunIdentity& identity = record.identity;
    out += wrapped(fmt::format("Natural modes: {}", identity.title), width);
    for (const auto& change : change_texts(identity)) out += wrapped(change, width, "  * ");
    std::string line = fmt::format("{} · {}", identity.vehicle, identity.disc);
    for (const auto& [name, value] : identity.conditions) {
        line += fmt::format(" · {} {}", name, value);
    }
    out += wrapped(line, width, "  ");
    out += wrapped(fmt::format("Engine {:.0f} to {:.0f} rpm, firing order {:g}; friction of the "
                               "disc {}",
                               record.lowest_speed / rpm, record.highest_speed / rpm,
                               record.firing_order, record.friction),
                   width, "  ");
}

/// Calls `add(gear, mode, first)` for every mode that an order can meet.
template <typename Add>
void for_each_met(const ModesRecord& record, Add add) {
    for (const GearModes& gear : record.gears) {
        const std::size_t met = modes_met(record, gear);
        for (std::size_t m = 0; m < met; ++m) add(gear, m, m == 0 ? gear.gear : std::string());
    }
}

std::string mode_table(const ModesRecord& record) {
    std::vector<Cells> rows;
    for_each_met(record, [&](const GearModes& gear, std::size_t m, const std::string& first) {
        const ModeRow& mode = gear.modes[m];
        rows.push_back({first, mode_title(gear, m), number_text(mode.frequency), damping_text(mode),
                        moving_text(gear, mode), twisting_text(gear, mode)});
    });
    return text_table({{.heading = "Gear", .most = 8},
                       {.heading = "Mode", .most = 36},
                       {.heading = "Hz", .numeric = true},
                       {.heading = "Damping", .numeric = true},
                       {.heading = "Moving", .most = 46},
                       {.heading = "Twisting", .most = 46}},
                      rows);
}

std::string speed_table(const ModesRecord& record) {
    std::vector<TextColumn> columns = {{.heading = "Gear", .most = 8},
                                       {.heading = "Mode", .most = 36},
                                       {.heading = "Hz", .numeric = true}};
    for (const EngineOrder& order : record.orders) {
        const std::string number = fmt::format("{:g}", order.order);
        columns.push_back({.heading = order.name == number
                                          ? "order " + number
                                          : fmt::format("{} ({})", order.name, number),
                           .numeric = true});
    }
    std::vector<Cells> rows;
    for_each_met(record, [&](const GearModes& gear, std::size_t m, const std::string& first) {
        const ModeRow& mode = gear.modes[m];
        Cells& row =
            rows.emplace_back(Cells{first, mode_title(gear, m), number_text(mode.frequency)});
        for (const EngineOrder& order : record.orders) {
            row.push_back(critical_text(record, mode, order.order));
        }
    });
    return text_table(columns, rows);
}

std::string influence_table(const ModesRecord& record) {
    std::vector<Cells> rows;
    for_each_met(record, [&](const GearModes& gear, std::size_t m, const std::string& first) {
        rows.push_back({first, mode_title(gear, m), number_text(gear.modes[m].frequency),
                        influence_text(gear, m, influences_shown)});
    });
    return text_table({{.heading = "Gear", .most = 8},
                       {.heading = "Mode", .most = 36},
                       {.heading = "Hz", .numeric = true},
                       {.heading = "+10 % of … make …", .most = 120}},
                      rows);
}

std::string slipping_part(const ModesRecord& record) {
    if (record.slipping.empty()) return {};
    std::vector<TextColumn> columns;
    for (const std::string heading : slipping_headings) {
        const bool words = heading == "Clamp load" || heading == "Mode" || heading == "Moving";
        columns.push_back({.heading = heading, .numeric = !words, .most = 46});
    }
    return fmt::format("\n{}\n{}{}", slipping_heading, wrapped(slipping_words(record), width, "  "),
                       text_table(columns, slipping_cells(record)));
}

}  // namespace

std::string modes_text(const ModesRecord& record) {
    std::string out;
    put_heading(out, record);
    out += "\nWhere\n";
    for (const GearModes& gear : record.gears) {
        out += wrapped(point_text(gear), width, fmt::format("  {}: ", gear_title(gear)));
    }
    out += "\nModes, and where their energy is\n" + mode_table(record);
    const std::string rest = rest_text(record);
    if (!rest.empty()) out += fmt::format("\n{}", wrapped(rest, width));
    out += "\nEngine speeds at which an order meets a mode [rpm]\n" + speed_table(record);
    out += "\nWhat moves it\n" + influence_table(record);
    out += slipping_part(record);
    out += "\nHow to read this\n";
    for (const std::string& note : reading_notes(record)) out += wrapped(note, width, "  - ");
    return out;
}

}  // namespace damper
