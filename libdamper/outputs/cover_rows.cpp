// SPDX-License-Identifier: MIT
#include "libdamper/outputs/cover_rows.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <cmath>
#include <fmt/format.h>
#include <functional>

namespace damper {

namespace {

using Value = std::function<std::string(const CoverState&)>;

std::string mm(double length) {
    return std::isfinite(length) ? fmt::format("{:.2f}", 1e3 * length) : "–";
}

std::string newton(double load) {
    return fmt::format("{:.0f}", load);
}

std::string celsius(double temperature) {
    return fmt::format("{:.0f} °C", temperature - 273.15);
}

/// Places of some rows of a list, ends included.
std::vector<std::size_t> some_of(std::size_t count, std::size_t wanted) {
    std::vector<std::size_t> places;
    if (count <= wanted) {
        for (std::size_t i = 0; i < count; ++i) places.push_back(i);
        return places;
    }
    for (std::size_t n = 0; n < wanted; ++n) places.push_back(n * (count - 1) / (wanted - 1));
    return places;
}

}  // namespace

std::string cover_words(const CoverRecord& record) {
    return fmt::format("{} type, {}, lever ratio {:.2f}", record.release,
                       record.discs == 1 ? "one disc" : fmt::format("{} discs", record.discs),
                       record.lever);
}

FigureTable state_table(const CoverRecord& record) {
    FigureTable table;
    table.caption = fmt::format("The clutch, held against {:.0f} N m", record.torque);
    table.headings = {"Figure"};
    for (const CoverState& state : record.states) {
        table.headings.push_back(state.name == "now" ? "As it is" : key_text(state.name));
    }
    table.headings.emplace_back("Unit");
    const auto row = [&](std::string name, std::string units, const Value& value) {
        std::vector<std::string> cells = {std::move(name)};
        for (const CoverState& state : record.states) cells.push_back(value(state));
        cells.push_back(std::move(units));
        table.rows.push_back(std::move(cells));
    };
    const auto factor = [&](double torque) {
        return fmt::format("{:.2f}", torque / record.torque);
    };
    using S = CoverState;
    row("Wear of each face", "mm", [](const S& s) { return mm(s.wear); });
    row("Spring deflection, clamped", "mm", [](const S& s) { return mm(s.deflection); });
    row("Clamp load", "N", [](const S& s) { return newton(s.clamp_load); });
    row("  tolerance, root of squares", "N",
        [](const S& s) { return fmt::format("{:.0f}…{:.0f}", s.root_sum_low, s.root_sum_high); });
    row("  tolerance, worst case", "N",
        [](const S& s) { return fmt::format("{:.0f}…{:.0f}", s.worst_low, s.worst_high); });
    row("Pressure on the facings", "MPa",
        [](const S& s) { return fmt::format("{:.3f}", 1e-6 * s.pressure); });
    row(fmt::format("Torque held, warm ({})", celsius(record.warm)), "N m",
        [](const S& s) { return newton(s.capacity); });
    row("  over the torque", "", [&](const S& s) { return factor(s.capacity); });
    row("  facings not run in, over it", "",
        [&](const S& s) { return factor(s.capacity_bedding); });
    row(fmt::format("  hot ({}), over it", celsius(record.hot)), "",
        [&](const S& s) { return factor(s.capacity_hot); });
    row("  hot, low end of tolerances", "", [&](const S& s) { return factor(s.capacity_hot_low); });
    row("Largest release load", "N", [](const S& s) { return newton(s.largest_bearing_load); });
    row("Release load at full travel", "N", [](const S& s) { return newton(s.bearing_load); });
    row("Plate lift at full travel", "mm", [](const S& s) { return mm(s.lift); });
    row("  at its worst place", "mm", [](const S& s) { return mm(s.least_lift); });
    row("Disc clearance", "mm", [](const S& s) { return mm(s.clearance); });
    row("Lift beyond what discs need", "mm", [](const S& s) { return mm(s.margin); });
    row("Travel where the plate lets go", "mm", [](const S& s) { return mm(s.free_travel); });
    row("Travel needed to turn freely", "mm", [](const S& s) { return mm(s.needed_travel); });
    row("Finger tips moved by wear", "mm", [](const S& s) { return mm(s.finger_shift); });
    return table;
}

FigureTable wear_table(const CoverRecord& record) {
    FigureTable table;
    table.caption = "Clamp load over wear";
    table.headings = {"Wear of a face [mm]", "Clamp [N]", "Tolerance [N]",
                      "Torque [N m]",        "Factor",    "Hot"};
    for (const std::size_t i : some_of(record.wear.size(), 11)) {
        const CoverWearPoint& p = record.wear[i];
        table.rows.push_back(
            {mm(p.wear) + (p.wear > record.wear_allowance * 1.000001 ? " (beyond allowance)" : ""),
             newton(p.clamp_load), fmt::format("{:.0f}…{:.0f}", p.root_sum_low, p.root_sum_high),
             newton(p.capacity), fmt::format("{:.2f}", p.capacity / record.torque),
             fmt::format("{:.2f}", p.capacity_hot / record.torque)});
    }
    return table;
}

FigureTable travel_table(const CoverRecord& record) {
    FigureTable table;
    table.caption = "Release, from contact of the bearing: load [N], lift [mm], torque held [N m]";
    table.headings = {"Travel [mm]"};
    for (const CoverReleaseCurve& curve : record.release_curves) {
        table.headings.push_back("Load " + curve.state);
        table.headings.push_back("Lift " + curve.state);
        table.headings.push_back("Torque " + curve.state);
    }
    if (record.release_curves.empty()) return table;
    for (const std::size_t i : some_of(record.release_curves.front().points.size(), 13)) {
        std::vector<std::string> row = {mm(record.release_curves.front().points[i].travel)};
        for (const CoverReleaseCurve& curve : record.release_curves) {
            const CoverReleasePoint& p = curve.points[i];
            row.push_back(newton(p.bearing_load));
            row.push_back(mm(p.lift));
            row.push_back(newton(p.capacity));
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

FigureTable temperature_table(const CoverRecord& record) {
    FigureTable table;
    table.caption = "Torque over temperature of the faces";
    table.headings = {"Temperature", "Friction", "New [N m]", "Factor", "Worn [N m]", "Factor"};
    for (const CoverTemperaturePoint& p : record.temperatures) {
        table.rows.push_back(
            {celsius(p.temperature), fmt::format("{:.3f}", p.friction), newton(p.capacity_new),
             fmt::format("{:.2f}", p.capacity_new / record.torque), newton(p.capacity_worn),
             fmt::format("{:.2f}", p.capacity_worn / record.torque)});
    }
    return table;
}

FigureTable case_table(const CoverRecord& record) {
    FigureTable table;
    table.caption = "What a fault alone would make of it: loads [N], clearance and margin [mm]";
    table.headings = {"Fault", "Clamp", "Factor", "worn", "Release", "Clearance", "Margin"};
    for (const CoverCase& one : record.cases) {
        table.rows.push_back({one.name, newton(one.clamp_load), fmt::format("{:.2f}", one.factor),
                              fmt::format("{:.2f}", one.factor_worn), newton(one.bearing_load),
                              mm(one.clearance), mm(one.margin)});
    }
    return table;
}

FigureTable comparison_table(const CoverComparison& comparison) {
    FigureTable table;
    const bool length = comparison.units == "m";
    const auto value = [&](double one) { return length ? mm(one) : newton(one); };
    const char* units = length ? "mm" : "N";
    table.caption = fmt::format("Measured {} over {}", comparison.what, comparison.against);
    table.headings = {key_text(comparison.against) + " [mm]", fmt::format("Measured [{}]", units),
                      fmt::format("Computed [{}]", units), "Deviation"};
    for (const std::size_t i : some_of(comparison.x.size(), 21)) {
        table.rows.push_back({mm(comparison.x[i]), value(comparison.measured[i]),
                              value(comparison.computed[i]),
                              fmt::format("{:+.1f} %", 100.0 * comparison.deviation[i])});
    }
    return table;
}

std::string comparison_words(const CoverComparison& comparison) {
    return fmt::format(
        "{} in {}: {:+.1f} % on average, largest {:+.1f} % (of the {} value), {} rows",
        key_text(comparison.what), comparison.file, 100.0 * comparison.mean,
        100.0 * comparison.largest,
        comparison.what == "clamp load" ? "computed" : "largest computed", comparison.x.size());
}

}  // namespace damper
