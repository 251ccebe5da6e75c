// SPDX-License-Identifier: MIT
#include "libdamper/outputs/signals_csv.hpp"

#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/unit_table.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <iterator>
#include <utility>
#include <variant>

namespace damper {

namespace {

constexpr std::array<const char*, 2> speeds{"flywheel_speed", "input_shaft_speed"};

/// A signal in the unit that people read it in.
struct Column {
    const Signal* signal = nullptr;
    std::string heading, unit;
    double divisor = 1.0;
};

/// Names and units come out of a file, which may hold anything; a table may not.
std::string as_heading(std::string text) {
    for (char& c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool breaks = byte < 0x20U || byte == 0x7FU || c == ',' || c == '"' || c == ';' ||
                            c == '[' || c == ']';
        if (c == '_' || breaks) c = ' ';
    }
    return visible_text(text);
}

Column column_of(const Signal& signal) {
    Column out{&signal, as_heading(signal.name), as_heading(signal.units), 1.0};
    // As workshops and read_recording() call it.
    if (signal.name == speeds[1]) out.heading = "gearbox input speed";
    const auto unit = read_unit(signal.units);
    const auto* kept = std::get_if<ReadUnit>(&unit);
    if (kept == nullptr || kept->offset != 0.0) return out;
    const bool usual =
        kept->dimension == AngularSpeed::dimension || kept->dimension == Angle::dimension;
    const DimensionName* name = usual ? name_of(kept->dimension) : nullptr;
    if (name == nullptr) return out;
    const auto preferred = read_unit(name->preferred);
    const auto& shown = std::get<ReadUnit>(preferred);
    out.unit = name->preferred;
    out.divisor = shown.numerator / shown.denominator / (kept->numerator / kept->denominator);
    return out;
}

}  // namespace

std::string signals_csv(const RunRecord& run, const std::vector<std::string>& names, double from) {
    std::vector<Column> columns;
    for (const std::string& name : names) columns.push_back(column_of(run.signals.at(name)));
    std::string out = "time [s]";
    for (const Column& column : columns) {
        out += fmt::format(",{} [{}]", column.heading, column.unit);
    }
    out += '\n';
    for (std::size_t i = run.signals.index_at(from); i < run.signals.time.size(); ++i) {
        fmt::format_to(std::back_inserter(out), "{:.10g}", run.signals.time[i]);
        for (const Column& column : columns) {
            fmt::format_to(std::back_inserter(out), ",{:.10g}",
                           column.signal->values[i] / column.divisor);
        }
        out += '\n';
    }
    return out;
}

std::vector<std::string> usual_signals(const RunRecord& run) {
    if (std::ranges::all_of(speeds, [&](const char* one) { return run.signals.has(one); })) {
        return {speeds.begin(), speeds.end()};
    }
    std::vector<std::string> out;
    for (const Signal& signal : run.signals.signals) out.push_back(signal.name);
    return out;
}

std::string signals_list(const RunRecord& run) {
    std::size_t name_width = 0, unit_width = 0;
    std::vector<Column> columns;
    for (const Signal& signal : run.signals.signals) {
        columns.push_back(column_of(signal));
        name_width = std::max(name_width, columns_of(visible_text(signal.name)));
        unit_width = std::max(unit_width, columns_of(columns.back().unit));
    }
    std::string out;
    for (const Column& column : columns) {
        const std::string name = visible_text(column.signal->name);
        out += name + std::string(name_width + 2 - columns_of(name), ' ') + column.unit +
               std::string(unit_width + 2 - columns_of(column.unit), ' ') +
               visible_text(column.signal->long_name) + '\n';
    }
    return out;
}

double usual_begin(const RunRecord& run) {
    constexpr double before = 0.5;  // [s]
    const std::string& manoeuvre = run.identity.manoeuvre;
    const bool changes = manoeuvre == "tip in" || manoeuvre == "back out";
    return std::max(0.0, run.measured_from - (changes ? before : 0.0));
}

}  // namespace damper
