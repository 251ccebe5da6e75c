// SPDX-License-Identifier: MIT
#include "libdamper/outputs/check_words.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <tuple>

namespace damper {

namespace {

constexpr std::array all_ends = {CheckEnd::kept,      CheckEnd::missed,   CheckEnd::unchanged,
                                 CheckEnd::bad_input, CheckEnd::unsolved, CheckEnd::not_reached};

/// Worst first.
int rank(CheckEnd end) {
    switch (end) {
        case CheckEnd::unsolved:
            return 0;
        case CheckEnd::bad_input:
            return 1;
        case CheckEnd::missed:
            return 2;
        case CheckEnd::kept:
            return 3;
        case CheckEnd::unchanged:
            return 4;
        case CheckEnd::not_reached:
            return 5;
    }
    return 6;
}

double smallest_margin(const CheckedScenario& one) {
    return one.values.empty() ? std::numeric_limits<double>::infinity() : one.values[0].margin;
}

/// "5.1 % above", "below" where there is no share of nothing.
std::string how_far(double value, double expected) {
    const char* way = value > expected ? "above" : "below";
    if (expected == 0.0) return way;
    return fmt::format("{:.3g} % {}", 100.0 * std::abs(value - expected) / std::abs(expected), way);
}

}  // namespace

std::string_view end_key(CheckEnd end) {
    switch (end) {
        case CheckEnd::kept:
            return "kept";
        case CheckEnd::missed:
            return "missed";
        case CheckEnd::unchanged:
            return "unchanged";
        case CheckEnd::bad_input:
            return "bad_input";
        case CheckEnd::unsolved:
            return "unsolved";
        case CheckEnd::not_reached:
            return "not_reached";
    }
    return "";
}

std::string_view end_word(CheckEnd end) {
    switch (end) {
        case CheckEnd::kept:
            return "Kept";
        case CheckEnd::missed:
            return "Missed";
        case CheckEnd::unchanged:
            return "Unchanged";
        case CheckEnd::bad_input:
            return "Not read";
        case CheckEnd::unsolved:
            return "Not solved";
        case CheckEnd::not_reached:
            return "Not reached";
    }
    return "";
}

std::string_view against_key(CheckedAgainst against) {
    switch (against) {
        case CheckedAgainst::band:
            return "band";
        case CheckedAgainst::baseline:
            return "baseline";
        case CheckedAgainst::baseline_signal:
            return "baseline_signal";
    }
    return "";
}

std::string check_margin_text(double margin) {
    if (!std::isfinite(margin)) return "–";
    return fmt::format("{:.2f}", margin);
}

std::string sentence_of(const CheckedValue& value) {
    if (std::isnan(value.value)) return fmt::format("{}: {}", value.name, value.why);
    const double largest =
        std::max({std::abs(value.value), std::abs(value.low), std::abs(value.high)});
    const Shown shown = measure_shown_as(value.name, value.units, largest);
    const auto text = [&](double si) { return with_units(number_text(shown.of(si)), shown.units); };
    const std::string interval =
        fmt::format("{} to {}", number_text(shown.of(value.low)), text(value.high));
    const std::string margin =
        std::isfinite(value.margin) ? fmt::format(", margin {:.2f}", value.margin) : "";
    if (value.against == CheckedAgainst::band) {
        return fmt::format("{} {} is {} the band {} ({}){}", value.name, text(value.value),
                           value.kept ? "within" : "outside", interval, value.why, margin);
    }
    const bool signal = value.against == CheckedAgainst::baseline_signal;
    const std::string where = signal ? fmt::format(" at t = {:.4g} s", value.time) : "";
    if (value.value == value.expected) {
        return fmt::format("{} {}{} is that of the baseline{}", value.name, text(value.value),
                           where, margin);
    }
    return fmt::format("{} {}{} is {} the baseline's {}; {} is kept ({}){}", value.name,
                       text(value.value), where, how_far(value.value, value.expected),
                       text(value.expected), interval, value.why, margin);
}

std::string summary_of(const CheckReport& report) {
    std::string out = fmt::format("{} scenario{}:", report.scenarios.size(),
                                  report.scenarios.size() == 1 ? "" : "s");
    const char* before = " ";
    for (const CheckEnd end : all_ends) {
        const std::size_t count = report.count(end);
        if (count == 0 && end != CheckEnd::kept && end != CheckEnd::missed) continue;
        std::string word(end_word(end));
        word[0] = static_cast<char>(word[0] - 'A' + 'a');
        out += fmt::format("{}{} {}", before, count, word);
        before = ", ";
    }
    return out;
}

std::vector<const CheckedScenario*> by_margin(const CheckReport& report) {
    std::vector<const CheckedScenario*> out;
    for (const CheckedScenario& one : report.scenarios) out.push_back(&one);
    std::ranges::stable_sort(out, {}, [](const CheckedScenario* one) {
        return std::tuple(rank(one->end), smallest_margin(*one));
    });
    return out;
}

}  // namespace damper
