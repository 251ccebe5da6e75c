// SPDX-License-Identifier: MIT
#include "libdamper/outputs/tune_rows.hpp"

#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/study_rows.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

using End = TuneCandidate::End;

std::string shown(const TuneRecord& record, std::size_t measure, double value) {
    const Judgement& one = record.measures[measure];
    const double scale = std::max({std::abs(value), std::abs(one.good), std::abs(one.bad)});
    const Shown unit = measure_shown_as(one.measure, one.units, scale);
    return with_units(number_text(unit.of(value)), unit.units);
}

/// "transfer in van_idle_cold, 0.31 against 0.4 (22 % in hand)".
std::string figure_words(const TuneRecord& record, const TuneWorst& worst) {
    const TuneFigure& one = *worst.figure;
    const Judgement& limit = record.measures[one.measure];
    return fmt::format("{} in {}, {} against {} ({})", words_of(limit.measure),
                       tune_case_name(record, worst.of_case), shown(record, one.measure, one.value),
                       shown(record, one.measure, limit.good), margin_text(one.margin));
}

struct Counts {
    std::size_t bad = 0, watch = 0, all = 0;
};

Counts counts_of(const TuneCandidate& candidate) {
    Counts out;
    for (const auto& one_case : candidate.cases) {
        for (const TuneFigure& one : one_case) {
            if (one.aside) continue;
            ++out.all;
            if (one.grade == Grade::bad) ++out.bad;
            if (one.grade == Grade::watch) ++out.watch;
        }
    }
    return out;
}

std::string standing(const TuneCandidate& candidate) {
    const Counts counts = counts_of(candidate);
    if (counts.bad > 0) return fmt::format("misses {} of {} limits", counts.bad, counts.all);
    if (counts.watch > 0) {
        return fmt::format("meets every limit, {} of {} figures to be watched", counts.watch,
                           counts.all);
    }
    return "is good in everything";
}

std::string worst_cell(const TuneRecord& record, const TuneCandidate& candidate,
                       std::size_t of_case) {
    const TuneFigure* worst = nullptr;
    if (candidate.cases.size() <= of_case) return "–";
    for (const TuneFigure& one : candidate.cases[of_case]) {
        if (one.aside) continue;
        if (worst == nullptr || one.grade > worst->grade ||
            (one.grade == worst->grade && one.margin < worst->margin)) {
            worst = &one;
        }
    }
    if (worst == nullptr) return "–";
    return fmt::format("{} {}: {}, {}", grade_shape(worst->grade),
                       words_of(record.measures[worst->measure].measure),
                       shown(record, worst->measure, worst->value), margin_text(worst->margin));
}

/// Keys whose tuned value lies where the range ends.
std::vector<std::string> at_an_end(const TuneRecord& record) {
    constexpr double near = 0.005;  // of the range
    std::vector<std::string> out;
    const TuneCandidate& best = record.candidates[record.best];
    for (std::size_t k = 0; k < record.keys.size(); ++k) {
        const TuneKeyRecord& one = record.keys[k];
        const double margin = near * (one.high - one.low);
        const bool low = best.values[k] < one.low + margin;
        if (!low && best.values[k] < one.high - margin) continue;
        out.push_back(fmt::format("{} ({}, {})", one.key.key, low ? "lowest" : "highest",
                                  study_value(one.key, best.values[k])));
    }
    return out;
}

std::string objective_cell(const TuneRecord& record, const TuneCandidate& candidate,
                           const TuneObjective& objective) {
    const TuneWorst worst = tune_worst(candidate, &objective);
    if (worst.figure == nullptr) return "–";
    return fmt::format("{} {}, {}", grade_shape(worst.figure->grade),
                       margin_text(worst.figure->margin),
                       words_of(record.measures[worst.figure->measure].measure));
}

}  // namespace

std::string tune_case_name(const TuneRecord& record, std::size_t of_case) {
    const TuneCase& one = record.cases[of_case];
    const std::string& condition = record.conditions[one.condition].name;
    const std::string& scenario = record.scenarios[one.scenario].name;
    return condition.empty() ? scenario : fmt::format("{} ({})", scenario, condition);
}

TuneWorst tune_worst(const TuneCandidate& candidate, const TuneObjective* objective) {
    TuneWorst worst;
    const auto look = [&](std::size_t of_case, const TuneFigure& one) {
        const bool below = worst.figure == nullptr || one.grade > worst.figure->grade ||
                           (one.grade == worst.figure->grade && one.margin < worst.figure->margin);
        if (below) worst = {of_case, &one};
    };
    for (std::size_t c = 0; c < candidate.cases.size(); ++c) {
        for (const TuneFigure& one : candidate.cases[c]) {
            const auto part = [&](int measure) {
                return objective == nullptr ||
                       std::ranges::find(objective->parts, std::pair(c, measure)) !=
                           objective->parts.end();
            };
            if (!one.aside && part(one.measure)) look(c, one);
        }
    }
    return worst;
}

std::string tune_headline(const TuneRecord& record) {
    const TuneCandidate& best = record.candidates[record.best];
    const TuneWorst worst = tune_worst(best);
    if (worst.figure == nullptr) return "Nothing could be judged.";
    const bool missed = worst.figure->grade == Grade::bad;
    if (record.best == 0) {
        return fmt::format(
            "No disc that was tried is better than the fitted one, which {}; its "
            "worst is {}.",
            standing(best), figure_words(record, worst));
    }
    return fmt::format("{} It {}; its worst is {}.",
                       missed ? "No disc that was tried meets all limits; this one comes nearest."
                       : record.out_of_reach.empty()
                           ? "A disc that meets all limits was found."
                           : "A disc that meets all limits within reach of a disc was found.",
                       standing(best), figure_words(record, worst));
}

std::vector<std::string> tune_notes(const TuneRecord& record) {
    std::vector<std::string> out;
    const TuneCandidate& fitted = record.candidates.front();
    const TuneWorst worst = tune_worst(fitted);
    if (record.best != 0 && worst.figure != nullptr) {
        out.push_back(fmt::format("The fitted disc {}; its worst is {}.", standing(fitted),
                                  figure_words(record, worst)));
    }
    for (const OutOfReach& one : record.out_of_reach) {
        const Judgement& limit = record.measures[one.measure];
        std::string tuned;
        const auto& best = record.candidates[record.best].cases;
        if (record.best != 0 && one.of_case < best.size()) {
            const auto found =
                std::ranges::find(best[one.of_case], one.measure, &TuneFigure::measure);
            if (found != best[one.of_case].end()) {
                tuned = fmt::format(", this one {}", shown(record, one.measure, found->value));
            }
        }
        out.push_back(fmt::format(
            "Out of reach of a disc: {} in {}, bad {} {}. The fitted disc has {}, the nearest of "
            "those strewn first {}{}. It does not count, unless a disc is worse there than the "
            "fitted one by more than {}.",
            words_of(limit.measure), tune_case_name(record, one.of_case),
            limit.bad >= limit.good ? "above" : "below", shown(record, one.measure, limit.bad),
            shown(record, one.measure, one.fitted), shown(record, one.measure, one.best), tuned,
            percent_text(record.allowed)));
    }
    if (record.best != 0) {
        const std::vector<std::string> ends = at_an_end(record);
        if (!ends.empty()) {
            out.push_back(fmt::format("At an end of its range: {}. Beyond it a disc may do better.",
                                      fmt::join(ends, ", ")));
        }
    }
    for (const TuneLimit& one : record.limits) {
        const bool kept =
            one.at_most ? one.fitted <= one.limit * 1.0001 : one.fitted >= one.limit * 0.9999;
        if (kept) continue;
        out.push_back(fmt::format(
            "The fitted disc itself does not keep a packaging limit: {} is {}, {} {} is asked for.",
            one.what, quantity_text(one.fitted, one.units), one.at_most ? "at most" : "at least",
            quantity_text(one.limit, one.units)));
    }
    if (!record.left_out.empty()) {
        out.push_back(fmt::format("Left out as asked for: {}.", fmt::join(record.left_out, ", ")));
    }
    if (!record.causes_left_out.empty()) {
        out.push_back(fmt::format(
            "What a cause does to the fitted disc is left out, since another one is searched for: "
            "{}. To try every disc worn, name its keys.",
            fmt::join(record.causes_left_out, ", ")));
    }
    if (record.stopped) {
        out.emplace_back("The search was stopped; this is the best of what was tried until then.");
    }
    return out;
}

std::string tune_search_words(const TuneRecord& record) {
    const auto count = [&](End end) { return record.count(end); };
    std::string out = fmt::format(
        "{} discs were tried ({}, seed {}): {} run to the end, {} cut short as more than {} of "
        "margin behind the best found before, {} beyond the packaging limits",
        record.candidates.size(), record.method, record.seed, count(End::done), count(End::cut),
        number_text(record.depth), count(End::packing));
    if (count(End::refused) > 0) {
        out += fmt::format(", {} refused by the rules of a disc", count(End::refused));
    }
    if (count(End::broken) > 0) {
        out += fmt::format(", {} whose run did not come to its end", count(End::broken));
    }
    return out + ". What was cut short cannot be on the part of the front that is within " +
           number_text(record.depth) + " of the best.";
}

FigureTable tune_key_table(const TuneRecord& record) {
    FigureTable table;
    table.caption = "What was free";
    table.headings = {"Key", "From", "To", "Fitted", "Tuned"};
    const TuneCandidate& best = record.candidates[record.best];
    for (std::size_t k = 0; k < record.keys.size(); ++k) {
        const TuneKeyRecord& one = record.keys[k];
        const auto text = [&](double value) {
            return std::isfinite(value) ? study_value(one.key, value) : std::string("–");
        };
        const std::string& name = one.key.key;
        table.rows.push_back({one.follower.empty() ? name : name + " (coast side in step)",
                              text(one.low), text(one.high), text(one.fitted),
                              text(best.values[k])});
    }
    return table;
}

FigureTable tune_limit_table(const TuneRecord& record) {
    FigureTable table;
    table.caption = "Packaging limits";
    table.headings = {"Limit", "Asked", "Fitted", "Tuned", "Unit"};
    for (const TuneLimit& one : record.limits) {
        const Shown unit = shown_as(one.units, std::max({one.limit, one.fitted, one.tuned}));
        table.rows.push_back(
            {one.what,
             fmt::format("{} {}", one.at_most ? "≤" : "≥", number_text(unit.of(one.limit))),
             number_text(unit.of(one.fitted)), number_text(unit.of(one.tuned)), unit.units});
    }
    return table;
}

FigureTable tune_case_table(const TuneRecord& record) {
    FigureTable table;
    table.caption = "Worst figure of each scenario";
    table.headings = {"Scenario", "Fitted", "Tuned"};
    for (std::size_t c = 0; c < record.cases.size(); ++c) {
        table.rows.push_back({tune_case_name(record, c),
                              worst_cell(record, record.candidates.front(), c),
                              worst_cell(record, record.candidates[record.best], c)});
    }
    return table;
}

FigureTable tune_front_table(const TuneRecord& record, std::size_t most) {
    FigureTable table;
    table.caption =
        fmt::format("The front: discs that no other one beats in {} and {} at once ({} of them)",
                    record.objectives[0].name, record.objectives[1].name, record.front.size());
    table.headings = {"Disc", record.objectives[0].name, record.objectives[1].name};
    for (const TuneKeyRecord& one : record.keys) {
        const std::string& key = one.key.key;
        table.headings.push_back(key.starts_with("disc.") ? key.substr(5) : key);
    }
    const std::size_t count = record.front.size();
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t number = record.front[i];
        // Evenly picked: the first, the last, and whatever begins another of the parts between.
        const auto part = [&](std::size_t at) { return at * (most - 1) / (count - 1); };
        const bool picked = count <= most || i == 0 || part(i) != part(i - 1);
        if (!picked && number != record.best) continue;
        const TuneCandidate& one = record.candidates[number];
        std::vector<std::string> row = {fmt::format("{}{}", number,
                                                    number == record.best ? " (tuned)"
                                                    : number == 0         ? " (fitted)"
                                                                          : ""),
                                        objective_cell(record, one, record.objectives[0]),
                                        objective_cell(record, one, record.objectives[1])};
        for (std::size_t k = 0; k < record.keys.size(); ++k) {
            row.push_back(study_value(record.keys[k].key, one.values[k]));
        }
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace damper
