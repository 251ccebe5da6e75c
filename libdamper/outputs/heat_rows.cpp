// SPDX-License-Identifier: MIT
#include "libdamper/outputs/heat_rows.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <fmt/format.h>
#include <functional>
#include <numbers>

namespace damper {

namespace {

std::string celsius(double temperature) {
    return fmt::format("{:.0f}", temperature - 273.15);
}

}  // namespace

std::string heat_words(const HeatRecord& record) {
    return fmt::format(
        "gear {}, engine at {:.0f} rpm, a start every {:.0f} s, air in the housing "
        "{:.0f} °C",
        record.gear, record.engine_speed * 30.0 / std::numbers::pi, record.interval,
        record.surroundings - 273.15);
}

FigureTable start_table(const HeatRecord& record) {
    FigureTable table;
    table.caption = "One start, plates at the temperature of the housing";
    table.headings = {"Figure"};
    for (const HeatStart& start : record.starts) {
        table.headings.push_back(
            start.grade == 0.0 ? "Level" : fmt::format("{:.3g} % grade", 100.0 * start.grade));
    }
    table.headings.emplace_back("Unit");
    using Value = std::function<std::string(const HeatStart&)>;
    const auto row = [&](std::string name, std::string units, const Value& value) {
        std::vector<std::string> cells = {std::move(name)};
        for (const HeatStart& start : record.starts) cells.push_back(value(start));
        cells.push_back(std::move(units));
        table.rows.push_back(std::move(cells));
    };
    using S = HeatStart;
    row("Torque that grade and rolling take", "N m",
        [](const S& s) { return number_text(s.load_torque); });
    row("Torque of the clutch", "N m", [](const S& s) { return number_text(s.clutch_torque); });
    row("Slip time", "s", [](const S& s) { return fmt::format("{:.2f}", s.slip_time); });
    row("Speed when it sticks", "km/h",
        [](const S& s) { return fmt::format("{:.1f}", 3.6 * s.speed); });
    row("Slip energy", "kJ", [](const S& s) { return fmt::format("{:.2f}", 1e-3 * s.energy); });
    row("  per facing area, all faces", "J/mm²",
        [](const S& s) { return fmt::format("{:.3f}", 1e-6 * s.specific_energy); });
    row("Power at first", "kW",
        [](const S& s) { return fmt::format("{:.1f}", 1e-3 * s.first_power); });
    row("  per facing area, all faces", "W/mm²",
        [](const S& s) { return fmt::format("{:.2f}", 1e-6 * s.specific_power); });
    row("Rise of the hottest face over its bulk", "K",
        [](const S& s) { return fmt::format("{:.0f}", s.face_rise); });
    row("Rise of the hottest plate, bulk", "K",
        [](const S& s) { return fmt::format("{:.1f}", s.bulk_rise); });
    row("  if all plates were one", "K",
        [](const S& s) { return fmt::format("{:.1f}", s.one_mass_rise); });
    return table;
}

FigureTable step_table(const HeatRecord& record) {
    FigureTable table;
    table.caption = "Hill starts in a row: temperatures when the clutch sticks [°C]";
    table.headings = {"Start", "At [s]", "Torque [N m]", "Held [N m]", "Energy [kJ]", "Slip [s]"};
    for (const std::string& plate : record.plates) table.headings.push_back(key_text(plate));
    table.headings.emplace_back("One mass");
    table.headings.emplace_back("Hottest face");
    const std::size_t count = record.steps.size();
    for (std::size_t i = 0; i < count; ++i) {
        const bool shown = i < 10 || i + 1 == count || (i + 1) % (1 + count / 10) == 0;
        if (!shown) continue;
        const HeatStep& step = record.steps[i];
        std::vector<std::string> row = {fmt::format("{}", step.number),
                                        fmt::format("{:.0f}", step.time),
                                        number_text(step.clutch_torque),
                                        number_text(step.capacity),
                                        fmt::format("{:.2f}", 1e-3 * step.energy),
                                        fmt::format("{:.2f}", step.slip_time)};
        for (const double one : step.after) row.push_back(celsius(one));
        row.push_back(celsius(step.one_mass));
        row.push_back(celsius(step.face_temperature));
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::string heat_balance_words(const HeatRecord& record) {
    return fmt::format(
        "Of {:.2f} kJ of heat {:.2f} kJ are in the plates after the last start and "
        "{:.2f} kJ have gone to the air.",
        1e-3 * record.energy_in, 1e-3 * record.energy_stored, 1e-3 * record.energy_lost);
}

}  // namespace damper
