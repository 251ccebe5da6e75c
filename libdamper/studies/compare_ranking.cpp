// SPDX-License-Identifier: MIT
#include "libdamper/studies/compare_study.hpp"
#include "libdamper/studies/standing.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace damper {

namespace {

/// A change of margin that is worth a word. A convention of this tool.
constexpr double worth_a_word = 0.1;

CompareRank rank_of(const CompareRecord& record, std::size_t option) {
    CompareRank rank;
    rank.option = option;
    for (std::size_t v = 0; v < record.variants.size(); ++v) {
        const CompareVariant& variant = record.variants[v];
        if (variant.option != option) continue;
        if (variant.end != CompareVariant::End::done) rank.complete = false;
        for (std::size_t j = 0; j < variant.judgements.size(); ++j) {
            const Judgement& one = variant.judgements[j];
            rank.findings.push_back({v, j});
            rank.grade = std::max(rank.grade, one.grade);
            if (one.grade == Grade::bad) ++rank.missed;
            if (one.grade == Grade::watch) ++rank.watched;
        }
    }
    std::ranges::stable_sort(rank.findings, [&](const auto& a, const auto& b) {
        return worse(standing_of(record.of(a)), standing_of(record.of(b)));
    });
    return rank;
}

std::vector<Standing> standings_of(const CompareRecord& record, const CompareRank& rank) {
    std::vector<Standing> out;
    for (const CompareFinding& one : rank.findings) out.push_back(standing_of(record.of(one)));
    return out;
}

bool better(const CompareRecord& record, const CompareRank& a, const CompareRank& b) {
    if (a.complete != b.complete) return a.complete;
    return better(standings_of(record, a), standings_of(record, b));
}

/// The largest of each measure, in order of size.
std::vector<CompareChange> largest(const CompareRecord& record,
                                   const std::vector<CompareChange>& changes, double sign) {
    std::map<std::string, CompareChange> of_measure;
    for (const CompareChange& one : changes) {
        if (sign * one.gain <= 0.0) continue;
        const bool crosses = record.of(one.here).grade != record.of(one.fitted).grade;
        if (!crosses && std::abs(one.gain) < worth_a_word) continue;
        const auto [at, is_new] = of_measure.emplace(record.of(one.here).measure, one);
        if (!is_new && sign * one.gain > sign * at->second.gain) at->second = one;
    }
    std::vector<CompareChange> out;
    for (const auto& [measure, one] : of_measure) out.push_back(one);
    // What crosses a limit comes before what does not.
    std::ranges::stable_sort(out, {}, [&](const CompareChange& one) {
        const int crossed = std::abs(static_cast<int>(record.of(one.here).grade) -
                                     static_cast<int>(record.of(one.fitted).grade));
        return std::pair(-crossed, -sign * one.gain);
    });
    return out;
}

void compare_with_fitted(const CompareRecord& record, std::size_t fitted, CompareRank& rank) {
    std::vector<CompareChange> changes;
    for (std::size_t s = 0; s < record.scenarios.size(); ++s) {
        for (std::size_t c = 0; c < record.conditions.size(); ++c) {
            const CompareVariant& here = record.at(rank.option, s, c);
            const CompareVariant& there = record.at(fitted, s, c);
            for (std::size_t i = 0; i < here.judgements.size(); ++i) {
                const auto found = std::ranges::find(there.judgements, here.judgements[i].measure,
                                                     &Judgement::measure);
                if (found == there.judgements.end()) continue;
                const double gain = here.judgements[i].margin - found->margin;
                if (!std::isfinite(gain)) continue;
                changes.push_back({{static_cast<std::size_t>(&here - record.variants.data()), i},
                                   {static_cast<std::size_t>(&there - record.variants.data()),
                                    static_cast<std::size_t>(found - there.judgements.begin())},
                                   gain});
            }
        }
    }
    rank.losses = largest(record, changes, -1.0);
    rank.gains = largest(record, changes, 1.0);
}

}  // namespace

void rank_options(CompareRecord& record) {
    record.ranking.clear();
    for (std::size_t o = 0; o < record.options.size(); ++o) {
        record.ranking.push_back(rank_of(record, o));
    }
    std::ranges::stable_sort(record.ranking, [&](const CompareRank& a, const CompareRank& b) {
        return better(record, a, b);
    });
    const auto fitted = std::ranges::find(record.options, true, &CompareOption::fitted);
    if (fitted == record.options.end()) return;
    const auto index = static_cast<std::size_t>(fitted - record.options.begin());
    for (CompareRank& rank : record.ranking) {
        if (rank.option != index) compare_with_fitted(record, index, rank);
    }
}

}  // namespace damper
