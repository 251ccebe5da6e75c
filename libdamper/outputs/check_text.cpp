// SPDX-License-Identifier: MIT
#include "libdamper/outputs/check_text.hpp"

#include "libdamper/outputs/check_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <sstream>

namespace damper {

namespace {

constexpr std::size_t width = 100;
constexpr std::size_t slowest = 5;

std::vector<std::string> row_of(const CheckedScenario& one) {
    std::vector<std::string> row = {std::string(end_word(one.end)), one.name};
    if (one.values.empty()) return row;
    const CheckedValue& worst = one.values[0];
    const double largest =
        std::max({std::abs(worst.value), std::abs(worst.low), std::abs(worst.high)});
    const Shown shown = measure_shown_as(worst.name, worst.units, largest);
    const auto text = [&](double si) {
        return std::isfinite(si) ? number_text(shown.of(si)) : std::string("–");
    };
    row.insert(row.end(), {check_margin_text(worst.margin), worst.name, text(worst.value),
                           text(worst.low), text(worst.high), shown.units,
                           worst.against == CheckedAgainst::band ? "band" : "baseline"});
    return row;
}

std::string lines(const std::string& text, const std::string& first) {
    std::string out;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        out += wrapped(line, width, out.empty() ? first : std::string(first.size(), ' '));
    }
    return out;
}

/// What a person must know of one scenario; nothing if all is kept.
std::string failure_of(const CheckedScenario& one) {
    if (one.end == CheckEnd::kept || one.end == CheckEnd::unchanged ||
        one.end == CheckEnd::not_reached) {
        return "";
    }
    std::string out = fmt::format("\n{}: {}\n", end_word(one.end), one.name);
    if (!one.message.empty()) out += lines(one.message, "  ");
    for (const CheckedValue& value : one.values) {
        if (!value.kept) out += wrapped(sentence_of(value), width, "  - ");
    }
    for (const std::string& note : one.notes) out += wrapped(note, width, "  ");
    return out;
}

std::string times_of(const CheckReport& report) {
    std::vector<const CheckedScenario*> all;
    for (const CheckedScenario& one : report.scenarios) {
        if (one.seconds > 0.0005) all.push_back(&one);
    }
    std::ranges::stable_sort(all, std::greater<>(), &CheckedScenario::seconds);
    std::string out;
    for (std::size_t i = 0; i < std::min(slowest, all.size()); ++i) {
        out += fmt::format("{}{} {:.2f} s", i == 0 ? "Slowest: " : ", ", all[i]->name,
                           all[i]->seconds);
    }
    return out.empty() ? out : wrapped(out, width);
}

}  // namespace

std::string check_text(const CheckReport& report) {
    const std::vector<TextColumn> columns = {{"Result"},       {"Scenario", false, 44},
                                             {"Margin", true}, {"Smallest margin in", false, 40},
                                             {"Value", true},  {"From", true},
                                             {"To", true},     {"Unit"},
                                             {"Against"}};
    std::vector<std::vector<std::string>> rows;
    std::string failures;
    for (const CheckedScenario* one : by_margin(report)) {
        rows.push_back(row_of(*one));
        failures += failure_of(*one);
    }
    std::string out = text_table(columns, rows);
    out += wrapped(
        "Margin: distance to the nearer bound as a share of half the interval: 1 in its "
        "middle, 0 on a bound, negative outside.",
        width);
    out += failures + "\n";
    const std::size_t bare =
        static_cast<std::size_t>(std::ranges::count_if(report.scenarios, [](const auto& one) {
            return one.end == CheckEnd::kept && one.values.empty();
        }));
    if (bare > 0) {
        out +=
            wrapped(fmt::format("{} of those kept had nothing to be held against.", bare), width);
    }
    for (const std::string& note : report.notes) out += wrapped(note, width);
    out += times_of(report);
    out += fmt::format("{}. {:.1f} s on {} thread{}.\n", summary_of(report), report.seconds,
                       report.threads, report.threads == 1 ? "" : "s");
    return out;
}

}  // namespace damper
