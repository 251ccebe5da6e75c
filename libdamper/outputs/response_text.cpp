// SPDX-License-Identifier: MIT
#include "libdamper/outputs/response_text.hpp"

#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/response_words.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <fmt/format.h>
#include <functional>
#include <utility>

namespace damper {

namespace {

constexpr std::size_t width = 100;  // columns

std::string table(const std::vector<Heading>& headings, std::vector<std::size_t> widths,
                  const std::vector<std::vector<std::string>>& rows) {
    std::vector<TextColumn> columns;
    for (std::size_t i = 0; i < headings.size(); ++i) {
        columns.push_back({headings[i].text, headings[i].numeric, widths[i]});
    }
    return text_table(columns, rows);
}

/// A name of a column: words in it would need quotes.
std::string column(std::string text) {
    for (char& c : text) {
        if (c == ' ' || c == ',' || c == '"' || c == '\n') c = '_';
    }
    return text;
}

}  // namespace

std::string response_text(const ResponseRecord& record) {
    std::string out = wrapped("Frequency response: " + record.identity.title, width);
    for (const auto& change : change_texts(record.identity)) out += wrapped(change, width, "  * ");
    out += wrapped(record.identity.vehicle + " · " + record.identity.disc, width, "  ");
    out.push_back('\n');
    out += wrapped(point_words(record), width);

    out += fmt::format(
        "\nGearbox input over flywheel at the firing frequency, {} Hz, washers slipping or "
        "sticking\n",
        number_text(record.firing_frequency));
    out += table(stage_headings(), {16, 5, 12, 17, 8, 8, 22}, stage_rows(record));
    const std::string met = met_words(record);
    if (!met.empty()) {
        out.push_back('\n');
        out += wrapped(met, width);
    }

    if (!record.curves.empty()) {
        out.push_back('\n');
        out += wrapped(
            fmt::format("Resonances from {} to {} Hz under {}, {}",
                        number_text(record.frequency.front()), number_text(record.frequency.back()),
                        record.from, friction_words(record)),
            width);
        out += table(resonance_headings(), {40, 14, 9, 18, 8}, resonance_rows(record));
    }
    if (!record.remarks.empty()) out += "\nMind\n";
    for (const std::string& remark : record.remarks) out += wrapped(remark, width, "  - ");
    return out;
}

std::string response_csv(const ResponseRecord& record) {
    using Values = std::function<double(std::size_t)>;
    std::vector<std::pair<std::string, Values>> columns;
    columns.emplace_back("frequency_Hz", [&](std::size_t i) { return record.frequency[i]; });
    for (const ResponseCurve& curve : record.curves) {
        columns.emplace_back(column(curve.name + "_magnitude"),
                             [&](std::size_t i) { return curve.magnitude[i]; });
        columns.emplace_back(column(curve.name + "_phase_rad"),
                             [&](std::size_t i) { return curve.phase[i]; });
    }
    for (const StageIsolation& stage : record.stages) {
        const std::string name = column("isolation_" + stage.stage + "_" + stage.side);
        columns.emplace_back(name + "_slips", [&](std::size_t i) { return stage.slips[i]; });
        columns.emplace_back(name + "_sticks", [&](std::size_t i) { return stage.sticks[i]; });
    }
    if (!record.equivalent.empty()) {
        const auto add = [&](const char* name, double EquivalentRow::*member) {
            columns.emplace_back(
                name, [&record, member](std::size_t i) { return record.equivalent[i].*member; });
        };
        add("met_isolation", &EquivalentRow::isolation);
        add("met_twist_rad", &EquivalentRow::twist);
        add("met_stiffness_Nm_per_rad", &EquivalentRow::stiffness);
        add("met_damping_Nms_per_rad", &EquivalentRow::damping);
    }
    std::string out;
    for (const auto& [name, values] : columns) {
        if (!out.empty()) out.push_back(',');
        out += name;
    }
    out.push_back('\n');
    for (std::size_t i = 0; i < record.frequency.size(); ++i) {
        for (std::size_t c = 0; c < columns.size(); ++c) {
            out += fmt::format("{}{:.9g}", c == 0 ? "" : ",", columns[c].second(i));
        }
        out.push_back('\n');
    }
    return out;
}

}  // namespace damper
