// SPDX-License-Identifier: MIT
#include "libdamper/outputs/compare_words.hpp"

#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <utility>

namespace damper {

namespace {

constexpr std::size_t most_traded = 3;
constexpr double hardly_apart = 0.02;  // margins; a convention of this tool

Shown shown_of(const Judgement& one) {
    return measure_shown_as(one.measure, one.units, magnitude(one));
}

std::string where(const CompareRecord& record, const CompareVariant& variant) {
    const std::string& scenario = record.scenarios[variant.scenario].name;
    const std::string& condition = record.conditions[variant.condition].name;
    return condition.empty() ? scenario : fmt::format("{} ({})", scenario, condition);
}

bool worse(const Judgement& a, const Judgement& b) {
    return a.grade != b.grade ? a.grade > b.grade : a.margin < b.margin;
}

std::string beyond(const Judgement& one) {
    const bool less = one.bad >= one.good;
    const Shown shown = shown_of(one);
    switch (one.grade) {
        case Grade::good:
            return margin_text(one.margin);
        case Grade::watch:
            return "to be watched";
        case Grade::bad:
            return fmt::format("bad {} {}", less ? "above" : "below",
                               number_text(shown.of(one.bad)));
    }
    return "";
}

std::string plural(std::size_t count, const char* one, const char* more) {
    return fmt::format("{} {}", count, count == 1 ? one : more);
}

std::string change_words(const CompareRecord& record, const CompareChange& change) {
    const Judgement& here = record.of(change.here);
    const Judgement& there = record.of(change.fitted);
    const double largest = std::max(magnitude(here), magnitude(there));
    const Shown shown = measure_shown_as(here.measure, here.units, largest);
    std::string text = fmt::format("{} in {}: {} instead of {}", words_of(here.measure),
                                   where(record, record.variants[change.here.variant]),
                                   with_units(number_text(shown.of(here.value)), shown.units),
                                   number_text(shown.of(there.value)));
    if (here.grade != there.grade) {
        text += fmt::format(" ({} instead of {})", grade_key(here.grade), grade_key(there.grade));
    }
    return text;
}

std::string traded(const CompareRecord& record, const char* first,
                   const std::vector<CompareChange>& changes) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < std::min(most_traded, changes.size()); ++i) {
        words.push_back(change_words(record, changes[i]));
    }
    std::string text = fmt::format("{}: {}", first, fmt::join(words, "; "));
    if (changes.size() > most_traded) {
        text += fmt::format("; and {} more", changes.size() - most_traded);
    }
    return text + ".";
}

const std::string& name_of(const CompareRecord& record, const CompareRank& rank) {
    return record.options[rank.option].name;
}

}  // namespace

std::string finding_words(const CompareRecord& record, const CompareFinding& finding) {
    const Judgement& one = record.of(finding);
    const Shown shown = shown_of(one);
    return fmt::format("{} in {}, {} against {} ({})", words_of(one.measure),
                       where(record, record.variants[finding.variant]),
                       with_units(number_text(shown.of(one.value)), shown.units),
                       number_text(shown.of(one.good)), beyond(one));
}

std::string standing_words(const CompareRecord& record, const CompareRank& rank) {
    std::string text;
    if (!rank.complete) text = "not all of its runs have a result; ";
    if (rank.findings.empty()) return text + "nothing of it was judged";
    switch (rank.grade) {
        case Grade::good:
            text += "good in everything";
            break;
        case Grade::watch:
            text += fmt::format("meets every limit, {} to be watched",
                                plural(rank.watched, "figure", "figures"));
            break;
        case Grade::bad:
            text += fmt::format("misses {} of {}", plural(rank.missed, "limit", "limits"),
                                rank.findings.size());
            break;
    }
    return text + "; worst is " + finding_words(record, rank.findings.front());
}

std::vector<std::string> trade_words(const CompareRecord& record, const CompareRank& rank) {
    std::vector<std::string> out;
    if (!rank.losses.empty()) {
        out.push_back(traded(record, "Worse than the fitted disc", rank.losses));
    }
    if (!rank.gains.empty()) {
        out.push_back(traded(record, "Better than the fitted disc", rank.gains));
    }
    return out;
}

std::vector<std::string> choice_words(const CompareRecord& record) {
    std::vector<std::string> out;
    if (record.ranking.empty() || record.ranking.front().findings.empty()) {
        return {"Nothing could be judged."};
    }
    const CompareRank& best = record.ranking.front();
    const bool keeps = record.options[best.option].fitted;
    if (best.grade == Grade::bad) {
        out.push_back(fmt::format("No disc meets all limits. {} comes nearest: it {}.",
                                  name_of(record, best), standing_words(record, best)));
    } else {
        const std::string standing = standing_words(record, best);
        out.push_back(fmt::format("{} {}: it {}{}.", keeps ? "Keep" : "Take", name_of(record, best),
                                  best.grade == Grade::good && best.complete ? "is " : "",
                                  standing));
    }
    if (record.ranking.size() > 1 && !record.ranking[1].findings.empty()) {
        const CompareRank& next = record.ranking[1];
        const Judgement& here = record.of(best.findings.front());
        const Judgement& there = record.of(next.findings.front());
        const bool close = here.grade == there.grade &&
                           std::abs(here.margin - there.margin) < hardly_apart &&
                           best.complete == next.complete;
        out.push_back(close ? fmt::format("{} is hardly worse: its worst is {}.",
                                          name_of(record, next),
                                          finding_words(record, next.findings.front()))
                            : fmt::format("Next is {}: {}.", name_of(record, next),
                                          standing_words(record, next)));
    }
    for (std::string& trade : trade_words(record, best)) out.push_back(std::move(trade));
    if (keeps && record.ranking.size() > 1) {
        out.emplace_back("It is the fitted disc: none of the others is better in what is worst.");
    }
    if (!record.of_fitted.empty()) {
        std::vector<std::string> causes;
        for (const auto& [cause, condition] : record.of_fitted) {
            causes.push_back(condition.empty() ? cause : fmt::format("{} ({})", cause, condition));
        }
        out.push_back(
            fmt::format("What {} changes in the disc is in the fitted disc alone; a disc "
                        "that is put in is a sound one.",
                        fmt::join(causes, ", ")));
    }
    return out;
}

std::vector<std::string> failure_words(const CompareRecord& record) {
    std::vector<std::pair<std::string, std::vector<std::string>>> alike;
    std::size_t left_out = 0;
    for (const CompareVariant& one : record.variants) {
        if (one.end == CompareVariant::End::done) continue;
        if (one.end == CompareVariant::End::not_reached) {
            ++left_out;
            continue;
        }
        const std::string place =
            fmt::format("{} in {}", record.options[one.option].name, where(record, one));
        const std::string why = fmt::format(
            "{}: {}", one.end == CompareVariant::End::bad_input ? "not read" : "not solved",
            one.message);
        auto found = std::ranges::find(alike, why, &decltype(alike)::value_type::first);
        if (found == alike.end()) found = alike.insert(alike.end(), {why, {}});
        found->second.push_back(place);
    }
    std::vector<std::string> out;
    for (const auto& [why, places] : alike) {
        std::string text = places.front();
        if (places.size() > 1) text += fmt::format(" and {} more", places.size() - 1);
        out.push_back(text + ", " + why);
    }
    if (left_out > 0) {
        out.push_back(
            fmt::format("{} of {} runs were not reached.", left_out, record.variants.size()));
    }
    return out;
}

std::vector<CompareRow> compare_rows(const CompareRecord& record) {
    std::vector<CompareRow> rows;
    std::map<std::pair<std::size_t, std::string>, std::size_t> known;
    for (const CompareVariant& variant : record.variants) {
        for (const Judgement& one : variant.judgements) {
            const auto [at, is_new] =
                known.emplace(std::pair(variant.scenario, one.measure), rows.size());
            if (is_new) {
                rows.push_back({variant.scenario, one.measure, one,
                                std::vector<const Judgement*>(record.options.size(), nullptr),
                                std::vector<std::size_t>(record.options.size(), 0)});
            }
            CompareRow& row = rows[at->second];
            const Judgement*& worst = row.worst[variant.option];
            // A limit at zero that is kept to the full cannot be kept better: it says nothing of
            // how good a disc is, unless there is nothing else.
            const bool full = one.good == 0.0 && one.margin == 0.0;
            if (worst != nullptr && (full || !worse(one, *worst))) {
                const bool replaces = !full && worst->good == 0.0 && worst->margin == 0.0;
                if (!replaces) continue;
            }
            worst = &one;
            row.condition[variant.option] = variant.condition;
        }
    }
    for (CompareRow& row : rows) {
        for (const Judgement* one : row.worst) {
            if (one != nullptr && magnitude(*one) > magnitude(row.limit)) {
                row.limit.value = one->value;
            }
        }
    }
    std::ranges::stable_sort(rows, {}, &CompareRow::scenario);
    return rows;
}

std::string row_value(const CompareRow& row, std::size_t option) {
    const Judgement* one = row.worst[option];
    if (one == nullptr) return "–";
    const Shown shown = shown_of(row.limit);
    return table_number(shown.of(one->value), shown.factor * std::abs(one->good));
}

std::string row_units(const CompareRow& row) {
    return shown_of(row.limit).units;
}

std::string row_limit(const CompareRow& row) {
    const Shown shown = shown_of(row.limit);
    return fmt::format("{} {} ({})", row.limit.bad >= row.limit.good ? "≤" : "≥",
                       number_text(shown.of(row.limit.good)), number_text(shown.of(row.limit.bad)));
}

const Judgement* worst_in(const CompareRecord& record, std::size_t option, std::size_t scenario,
                          std::size_t* condition) {
    const Judgement* worst = nullptr;
    for (std::size_t c = 0; c < record.conditions.size(); ++c) {
        const CompareVariant& variant = record.at(option, scenario, c);
        for (const Judgement& one : variant.judgements) {
            // A limit at zero that is kept to the full cannot be kept better: it says nothing of
            // how good a disc is, unless there is nothing else.
            const bool full = one.good == 0.0 && one.margin == 0.0;
            if (worst != nullptr && (full || !worse(one, *worst))) {
                const bool replaces = !full && worst->good == 0.0 && worst->margin == 0.0;
                if (!replaces) continue;
            }
            worst = &one;
            if (condition != nullptr) *condition = c;
        }
    }
    return worst;
}

}  // namespace damper
