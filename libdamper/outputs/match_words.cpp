// SPDX-License-Identifier: MIT
#include "libdamper/outputs/match_words.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

std::string chance_text(double chance) {
    constexpr double least = 1e-4;
    return chance < least ? std::string("below 0.01 %") : percent_text(chance);
}

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) out += i + 1 == words.size() ? " and " : ", ";
        out += words[i];
    }
    return out;
}

/// Measured figures by how far they are off, farthest first.
std::string farthest(const MatchRecord& record) {
    std::vector<const MatchFigure*> order;
    for (const MatchFigure& one : record.figures) {
        if (one.seen) order.push_back(&one);
    }
    std::ranges::stable_sort(order, std::greater<>(),
                             [](const MatchFigure* one) { return std::abs(one->off); });
    std::vector<std::string> words;
    for (const MatchFigure* one : order) {
        if (words.size() == 2) break;
        words.push_back(fmt::format("{} ({:.1f} errors too {})", one->name, std::abs(one->off),
                                    one->off > 0.0 ? "large in the model" : "small in the model"));
    }
    return joined(words);
}

}  // namespace

std::string match_headline(const MatchRecord& record) {
    if (!record.complete) {
        return "Stopped on the way: the best values so far, without intervals.";
    }
    const std::string square =
        record.freedom > 0
            ? fmt::format("chi-square {:.3g} with {} degree{} of freedom, a chance of {}",
                          record.chi_square, record.freedom, record.freedom == 1 ? "" : "s",
                          chance_text(record.chance))
            : fmt::format("chi-square {:.3g}", record.chi_square);
    if (!record.explained()) {
        return fmt::format(
            "No vehicle in these ranges shows these figures ({}). Farthest off: {}. Widen the "
            "ranges, free something else, or look at the recordings again; the values below are "
            "the nearest, and their intervals do not hold.",
            square, farthest(record));
    }
    if (record.freedom == 0) {
        return fmt::format(
            "The figures are met ({}), but there are no more of them than values they tell: "
            "whether the model is right cannot be seen from them.",
            square);
    }
    return fmt::format("The figures can be met ({}).", square);
}

std::string match_number(const MatchValue& value, double number) {
    if (value.multiplies) return "×" + number_text(number);
    const double magnitude = std::max(std::abs(value.range_low), std::abs(value.range_high));
    const Shown shown = shown_as(value.units, magnitude);
    return with_units(number_text(shown.of(number)), shown.units);
}

std::string match_interval(const MatchRecord& record, const MatchValue& value) {
    if (!record.complete) return "–";
    const std::string known = value.known();
    std::string out;
    if (known == "open") {
        out = "anything in its range: not told";
    } else if (known == "at least") {
        out = "at least " + match_number(value, value.low);
    } else if (known == "at most") {
        out = "at most " + match_number(value, value.high);
    } else {
        out = fmt::format("{} to {}", match_number(value, value.low),
                          match_number(value, value.high));
    }
    return out;
}

std::vector<std::string> match_ties(const MatchRecord& record) {
    std::vector<std::string> out;
    for (const MatchTie& tie : record.ties) {
        std::vector<std::string> names, moves;
        for (const MatchTie::Part& part : tie.parts) {
            const MatchValue& value = record.values[part.value];
            names.push_back(value.name);
            moves.push_back(fmt::format("{} from {} to {}", value.name,
                                        match_number(value, part.from),
                                        match_number(value, part.to)));
        }
        out.push_back(
            names.size() == 1
                ? fmt::format("{} hardly shows in these figures: {} changes none of them by "
                              "more than about its error.",
                              names.front(), moves.front())
                : fmt::format("{} cannot be told apart by these figures: {} together changes "
                              "none of them by more than about its error. Only what stays the "
                              "same on that way is known.",
                              joined(names), joined(moves)));
    }
    return out;
}

std::vector<std::string> match_further(const MatchRecord& record) {
    std::vector<std::string> out;
    for (const MatchFurther& one : record.further) {
        out.push_back(
            fmt::format("Measure {} as well (error {}): {} would be known {:.1f} times as sharply.",
                        one.measure, quantity_text(one.error, one.units),
                        record.values[one.value].name, one.from / one.to));
    }
    return out;
}

std::vector<std::string> match_cautions(const MatchRecord& record) {
    std::vector<std::string> out{
        "Values are estimates: of this model, in this run, from these figures. Errors count as "
        "independent standard deviations; what the model leaves out is in no interval.",
        "A value explains figures; it does not show a part. Look before replacing, by the "
        "maker's procedure, local rules and licensed practice."};
    const bool scatters = std::ranges::any_of(record.figures, [](const MatchFigure& one) {
        return one.seen && one.scatter > 0.3 * one.error;
    });
    if (scatters) {
        out.emplace_back(
            "Some figures scatter from run to run by themselves, as rattle does; that is in their "
            "errors. A longer run scatters less: --set 'manoeuvre.length=6 s'.");
    }
    return out;
}

std::string match_settings(const MatchRecord& record) {
    std::string out;
    for (const auto* changes : {&record.state, &record.changes}) {
        for (const auto& [key, value] : *changes) {
            out += fmt::format(" --set '{}={}'", key, value);
        }
    }
    return out;
}

}  // namespace damper
