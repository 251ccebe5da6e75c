// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/numerics/binomial_interval.hpp"
#include "libdamper/numerics/screening.hpp"
#include "libdamper/numerics/sensitivity.hpp"
#include "libdamper/studies/study_table.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numeric>
#include <utility>

namespace damper {

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

double ranked(const std::vector<double>& sorted, double share) {
    const double at = share * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(at);
    return std::lerp(sorted[below], sorted[std::min(below + 1, sorted.size() - 1)],
                     at - static_cast<double>(below));
}

StudyStatistic statistic_of(const StudyRecord& record, std::size_t column) {
    const StudyMeasure& measure = record.head.measures[record.present[column]];
    StudyStatistic out;
    out.measure = measure.name;
    out.units = measure.units;
    out.nominal = measure.nominal;
    const std::vector<double>& values = record.measures[column];
    std::vector<double> sorted;
    for (std::size_t r = 0; r < values.size(); ++r) {
        if (!std::isfinite(values[r])) continue;
        if (sorted.empty() || values[r] < out.least) {
            out.least = values[r];
            out.least_variant = record.variants[r];
        }
        if (sorted.empty() || values[r] > out.most) {
            out.most = values[r];
            out.most_variant = record.variants[r];
        }
        sorted.push_back(values[r]);
    }
    out.count = static_cast<std::int64_t>(sorted.size());
    if (sorted.empty()) return out;
    const auto n = static_cast<double>(sorted.size());
    for (const double value : sorted) out.mean += value / n;
    double squares = 0.0;
    for (const double value : sorted) squares += (value - out.mean) * (value - out.mean);
    out.deviation = sorted.size() > 1 ? std::sqrt(squares / (n - 1.0)) : 0.0;
    std::ranges::sort(sorted);
    out.fifth = ranked(sorted, 0.05);
    out.median = ranked(sorted, 0.5);
    out.ninety_fifth = ranked(sorted, 0.95);
    return out;
}

/// Share of bad grades among the judged variants of the lowest and highest fifth of a key.
std::pair<double, double> share_at_ends(const std::vector<double>& key,
                                        const std::vector<std::int8_t>& grades) {
    std::vector<std::size_t> order;
    for (std::size_t r = 0; r < key.size(); ++r) {
        if (grades[r] >= 0) order.push_back(r);
    }
    std::ranges::sort(order, [&](std::size_t a, std::size_t b) {
        return key[a] != key[b] ? key[a] < key[b] : a < b;
    });
    const std::size_t fifth = order.size() / 5;
    if (fifth == 0) return {0.0, 0.0};
    double low = 0.0, high = 0.0;
    for (std::size_t i = 0; i < fifth; ++i) {
        low += grades[order[i]] == 2 ? 1.0 : 0.0;
        high += grades[order[order.size() - 1 - i]] == 2 ? 1.0 : 0.0;
    }
    return {low / static_cast<double>(fifth), high / static_cast<double>(fifth)};
}

void add_limit(StudyRecord& record, std::size_t column) {
    const StudyMeasure& measure = record.head.measures[record.present[column]];
    const auto& grades = record.grades[column];
    StudyLimit out;
    out.measure = measure.name;
    out.units = measure.units;
    out.nominal = measure.nominal;
    out.good = measure.good;
    out.bad = measure.bad;
    for (const std::int8_t grade : grades) {
        out.judged += grade >= 0 ? 1 : 0;
        out.watch += grade == 1 ? 1 : 0;
        out.beyond += grade == 2 ? 1 : 0;
    }
    if (out.judged == 0) return;
    const ShareInterval interval = share_interval(out.beyond, out.judged);
    out.share = interval.share;
    out.low = interval.low;
    out.high = interval.high;
    for (const StudyInfluence& one : record.influences) {
        if (one.measure != measure.name || one.explained <= out.explained) continue;
        out.explained = one.explained;
        out.key = one.key;
    }
    for (std::size_t k = 0; k < record.head.keys.size(); ++k) {
        if (record.head.keys[k].key != out.key) continue;
        std::tie(out.share_at_low, out.share_at_high) = share_at_ends(record.values[k], grades);
    }
    record.limits.push_back(std::move(out));
}

/// One value for each variant of the design, not a number where there is none.
std::vector<double> whole_column(const StudyRecord& record, std::size_t column) {
    std::vector<double> out(static_cast<std::size_t>(record.head.total), nothing);
    for (std::size_t r = 0; r < record.variants.size(); ++r) {
        out[static_cast<std::size_t>(record.variants[r])] = record.measures[column][r];
    }
    return out;
}

void add_effects(StudyRecord& record, std::size_t column) {
    const std::size_t inputs = record.head.keys.size();
    const MorrisDesign design(inputs, static_cast<std::size_t>(record.head.asked),
                              static_cast<std::uint64_t>(record.head.seed));
    const auto effects = elementary_effects(design, inputs, whole_column(record, column));
    const StudyMeasure& measure = record.head.measures[record.present[column]];
    for (std::size_t k = 0; k < inputs; ++k) {
        record.effects.push_back({measure.name, measure.units, record.head.keys[k].key,
                                  effects[k].mean, effects[k].mean_absolute, effects[k].deviation,
                                  static_cast<std::int64_t>(effects[k].effects)});
    }
}

void add_indices(StudyRecord& record, std::size_t column) {
    const std::size_t inputs = record.head.keys.size();
    const auto shares = variance_shares(inputs, whole_column(record, column));
    for (std::size_t k = 0; k < inputs; ++k) {
        const auto& [first, total] = shares[k];
        record.indices.push_back({record.head.measures[record.present[column]].name,
                                  record.head.keys[k].key, first.value, first.low, first.high,
                                  total.value, total.low, total.high});
    }
}

void add_influences(StudyRecord& record, std::size_t column) {
    for (std::size_t k = 0; k < record.head.keys.size(); ++k) {
        record.influences.push_back({record.head.measures[record.present[column]].name,
                                     record.head.keys[k].key,
                                     explained_share(record.values[k], record.measures[column]),
                                     correlation(record.values[k], record.measures[column])});
    }
}

std::vector<std::size_t> wanted_columns(const StudyRecord& record,
                                        const std::vector<std::string>& wanted) {
    std::vector<std::size_t> out;
    std::vector<std::string> names;
    for (const std::size_t number : record.present) {
        names.push_back(record.head.measures[number].name);
    }
    for (const std::string& name : wanted) {
        const auto found = std::ranges::find(names, name);
        if (found == names.end()) {
            const std::string near = nearest_word(name, names);
            throw InputError(fmt::format("no variant has the measure \"{}\"{}", name,
                                         near.empty() ? "" : "; did you mean " + near + "?"));
        }
        out.push_back(static_cast<std::size_t>(found - names.begin()));
    }
    if (!out.empty()) return out;
    std::vector<std::size_t> all;
    for (std::size_t c = 0; c < names.size(); ++c) {
        all.push_back(c);
        if (record.head.measures[record.present[c]].has_limit) out.push_back(c);
    }
    return out.empty() ? all : out;
}

void count_any(StudyRecord& record) {
    for (std::size_t r = 0; r < record.variants.size(); ++r) {
        const bool bad =
            std::ranges::any_of(record.grades, [r](const auto& column) { return column[r] == 2; });
        record.any_beyond += bad ? 1 : 0;
    }
    const ShareInterval interval = share_interval(record.any_beyond, record.done());
    record.any_share = interval.share;
    record.any_low = interval.low;
    record.any_high = interval.high;
}

}  // namespace

void analyse(StudyRecord& record, const std::vector<std::string>& wanted) {
    const std::vector<std::size_t> columns = wanted_columns(record, wanted);
    const bool strewn = record.head.design != "screening" && record.head.design != "indices";
    for (const std::size_t column : columns) {
        record.statistics.push_back(statistic_of(record, column));
        if (strewn) add_influences(record, column);
        if (record.head.design == "screening") add_effects(record, column);
        if (record.head.design == "indices") add_indices(record, column);
    }
    for (std::size_t c = 0; c < record.present.size(); ++c) add_limit(record, c);
    std::ranges::stable_sort(record.limits, std::greater{}, &StudyLimit::share);
    count_any(record);
}

}  // namespace damper
