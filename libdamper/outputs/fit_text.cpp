// SPDX-License-Identifier: MIT
#include "libdamper/outputs/fit_text.hpp"

#include "libdamper/outputs/fit_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <fmt/format.h>
#include <numbers>
#include <vector>

namespace damper {

namespace {

constexpr std::size_t width = 100;
constexpr double degree = std::numbers::pi / 180.0;

std::string figure_table(const FitRecord& record) {
    std::vector<TextColumn> columns = {{.heading = "Stage, figure"},
                                       {.heading = "Value", .numeric = true},
                                       {.heading = "95 %", .numeric = true},
                                       {.heading = "Unit"}};
    const bool compared = !record.nominal.empty();
    if (compared) {
        columns.push_back({.heading = "Nominal", .numeric = true});
        columns.push_back({.heading = "Deviation", .numeric = true});
        columns.push_back({.heading = "Tolerance", .numeric = true});
        columns.push_back({.heading = "Standing"});
    }
    std::vector<std::vector<std::string>> rows;
    for (const FitFigure& figure : record.figures) {
        if (!worth_a_row(figure)) continue;
        auto& row = rows.emplace_back();
        row = {figure_name(figure), figure_value(figure), figure_interval(figure),
               figure_units(figure)};
        if (!compared) continue;
        for (std::string& cell : figure_standing(figure)) row.push_back(std::move(cell));
    }
    return text_table(columns, rows);
}

std::string run_table(const FitRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const FitRun& run : record.runs) {
        rows.push_back({run.name, fmt::format("{}", run.loops), fmt::format("{}", run.samples),
                        number_text(run.torque_noise), number_text(run.twist_noise / degree),
                        number_text(run.torque_zero), number_text(run.drift),
                        fmt::format("{:.2f}", run.misfit)});
    }
    return text_table({{.heading = "Run", .most = 44},
                       {.heading = "Loops", .numeric = true},
                       {.heading = "Rows", .numeric = true},
                       {.heading = "Noise [N m]", .numeric = true},
                       {.heading = "[deg]", .numeric = true},
                       {.heading = "Zero [N m]", .numeric = true},
                       {.heading = "Drift [N m]", .numeric = true},
                       {.heading = "Misfit", .numeric = true}},
                      rows);
}

}  // namespace

std::string fit_text(const FitRecord& record) {
    std::string out =
        wrapped(fmt::format("Disc from a bench loop: {}", record.identity.title), width);
    if (!record.nominal.empty())
        out += wrapped(fmt::format("against {}", record.nominal), width, "  ");
    out += fmt::format("\n{}", wrapped(fit_headline(record), width));
    for (const std::string& finding : record.findings) out += wrapped(finding, width, "  - ");
    out += fmt::format("\n{}\n{}", figure_table(record), run_table(record));
    if (!record.notes.empty()) out += "\nLeft open\n";
    for (const std::string& note : record.notes) out += wrapped(note, width, "  - ");
    out += "\nMind\n";
    for (const std::string& caution : bench_cautions()) out += wrapped(caution, width, "  - ");
    return out;
}

}  // namespace damper
