// SPDX-License-Identifier: MIT
#include "libdamper/outputs/study_rows.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

/// Figures of one row share a unit.
struct Figures {
    Shown shown;
    Figures(const std::string& measure, const std::string& units, double magnitude)
        : shown(measure_shown_as(measure, units, magnitude)) {}
    [[nodiscard]] std::string operator()(double value) const {
        return number_text(shown.of(value));
    }
};

std::string plural(std::int64_t count, const std::string& noun) {
    return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
}

std::string noun_of(const StudyRecord& record) {
    return record.head.verb == "scatter" ? "vehicle" : "variant";
}

std::string interval(double low, double high) {
    return fmt::format("{:.2f} to {:.2f} %", 100.0 * low, 100.0 * high);
}

double largest(const std::vector<double>& values) {
    double most = 0.0;
    for (const double value : values) {
        if (std::isfinite(value)) most = std::max(most, std::abs(value));
    }
    return most > 0.0 ? most : 1.0;
}

std::string arrow(double correlation) {
    constexpr double faint = 0.05;
    if (std::abs(correlation) < faint) return "·";
    return correlation > 0.0 ? "↑" : "↓";
}

std::string key_heading(const StudyHead& head, std::size_t k) {
    const std::string& key = head.keys[k].key;
    const auto short_of = [](const std::string& name) {
        return name.substr(name.rfind('.') == std::string::npos ? 0 : name.rfind('.') + 1);
    };
    for (std::size_t other = 0; other < head.keys.size(); ++other) {
        if (other != k && short_of(head.keys[other].key) == short_of(key)) return key;
    }
    return short_of(key);
}

}  // namespace

std::ptrdiff_t study_column(const StudyRecord& record, const std::string& measure) {
    for (std::size_t c = 0; c < record.present.size(); ++c) {
        if (record.head.measures[record.present[c]].name == measure) {
            return static_cast<std::ptrdiff_t>(c);
        }
    }
    return -1;
}

std::string study_value(const StudyKey& key, double value) {
    if (!key.choices.empty()) {
        const auto choice = static_cast<std::size_t>(std::max(0.0, value));
        return choice < key.choices.size() ? key.choices[choice] : "";
    }
    if (key.multiplies) return "× " + number_text(value);
    return quantity_text(value, key.units);
}

std::string study_words(const StudyRecord& record) {
    const StudyHead& head = record.head;
    std::string out =
        fmt::format("{} of {}", plural(record.done(), noun_of(record)), head.identity.scenario);
    if (head.design == "grid")
        out += fmt::format(", a grid over {}", plural(std::ssize(head.keys), "key"));
    if (head.design == "sobol") {
        out += fmt::format(", strewn evenly over {}", plural(std::ssize(head.keys), "key"));
    }
    if (head.design == "random") {
        out += fmt::format(", each with {} of its own", plural(std::ssize(head.keys), "value"));
    }
    if (head.design == "screening") {
        out += fmt::format(
            ": {} that change one key at a time",
            head.asked == 1 ? "1 trajectory" : fmt::format("{} trajectories", head.asked));
    }
    if (head.design == "indices") {
        out += fmt::format(": {} for shares of variance", plural(head.asked, "base row"));
    }
    out += ".";
    if (record.refused > 0) {
        out += fmt::format(" {} more {} refused: their values do not fit together.", record.refused,
                           record.refused == 1 ? "was" : "were");
    }
    if (record.broken > 0) {
        out += fmt::format(" {} did not come to the end.", plural(record.broken, "run"));
    }
    if (record.missing_count > 0) {
        out += fmt::format(" {} of {} missing.", record.missing_count, head.total);
    }
    return out;
}

std::string study_headline(const StudyRecord& record) {
    if (record.limits.empty()) return "None of the measures has a limit.";
    if (record.done() == 0) return "No variant came to its end.";
    std::string out;
    if (record.head.verb == "scatter") {
        out = fmt::format("{:.2f} % of {} miss a limit (95 % interval: {})",
                          100.0 * record.any_share, plural(record.done(), "vehicle"),
                          interval(record.any_low, record.any_high));
    } else {
        out = fmt::format("{} of {} miss a limit", record.any_beyond,
                          plural(record.done(), "variant"));
    }
    out += fmt::format("; the scenario as it stands is {}.", record.head.nominal);
    return out;
}

std::vector<std::string> study_reasons(const StudyRecord& record) {
    constexpr double telling = 0.02;
    std::vector<std::string> out;
    for (const StudyLimit& limit : record.limits) {
        if (limit.beyond == 0 || limit.explained < telling || limit.key.empty()) continue;
        out.push_back(fmt::format(
            "{}: {} matters most; it explains {:.0f} % of the spread. In its lowest fifth "
            "{:.1f} % miss the limit, in its highest {:.1f} %.",
            key_text(limit.measure), limit.key, 100.0 * limit.explained, 100.0 * limit.share_at_low,
            100.0 * limit.share_at_high));
    }
    return out;
}

std::vector<std::string> study_cautions(const StudyRecord& record) {
    std::vector<std::string> out;
    if (record.head.verb == "scatter") {
        out.emplace_back(
            "The interval is that of chance in drawing the vehicles. How well the spreads that "
            "were "
            "asked for fit a real series, and the model a real vehicle, it does not tell.");
        out.emplace_back("Values are drawn independently of each other.");
    } else if (record.head.design == "screening") {
        out.emplace_back(
            "Screening sorts keys by what they do over their whole range; σ near or above μ* says "
            "that a key bends or acts together with others.");
    } else if (record.head.design == "indices") {
        out.emplace_back(
            "Shares are those of keys spread evenly and independently over the ranges asked for; "
            "a total above the first order is interaction.");
    }
    for (const StudyKey& key : record.head.keys) {
        if (key.choices.empty() && key.key.starts_with("disc.")) {
            out.emplace_back(
                "What a disc can be built with, its strength and its room, is the maker's to say.");
            break;
        }
    }
    return out;
}

FigureTable study_limit_table(const StudyRecord& record) {
    const bool crowd = record.head.verb == "scatter";
    FigureTable table;
    table.caption = crowd ? "Vehicles beyond each limit" : "Variants beyond each limit";
    table.headings = {"Measure",    "Unit",       "As it stands", "Good to",
                      "Bad beyond", "Only watch", "Beyond"};
    if (crowd) table.headings.emplace_back("95 % interval");
    for (const StudyLimit& one : record.limits) {
        const Figures figure(one.measure, one.units, std::max(std::abs(one.bad), 1e-12));
        const auto n = static_cast<double>(std::max<std::int64_t>(one.judged, 1));
        std::vector<std::string> row = {
            key_text(one.measure),
            figure.shown.units,
            figure(one.nominal),
            figure(one.good),
            figure(one.bad),
            fmt::format("{:.2f} %", 100.0 * static_cast<double>(one.watch) / n),
            fmt::format("{:.2f} %", 100.0 * one.share)};
        if (crowd) row.push_back(interval(one.low, one.high));
        table.rows.push_back(std::move(row));
    }
    return table;
}

FigureTable study_statistic_table(const StudyRecord& record) {
    FigureTable table;
    table.caption = "How the measures lie";
    table.headings = {"Measure",   "Unit",   "As it stands", "Least",
                      "5 % below", "Median", "95 % below",   "Most"};
    for (const StudyStatistic& one : record.statistics) {
        const Figures figure(one.measure, one.units,
                             std::max({std::abs(one.most), std::abs(one.least), 1e-12}));
        table.rows.push_back({key_text(one.measure), figure.shown.units, figure(one.nominal),
                              figure(one.least), figure(one.fifth), figure(one.median),
                              figure(one.ninety_fifth), figure(one.most)});
    }
    return table;
}

FigureTable study_influence_table(const StudyRecord& record, std::size_t most) {
    FigureTable table;
    table.caption =
        "What moves them: share of a measure's spread that a key explains by itself (↑ rises with "
        "it)";
    table.headings = {"Measure", "Key", "Explained", "Way", "Correlation"};
    for (const StudyStatistic& statistic : record.statistics) {
        std::vector<StudyInfluence> mine;
        for (const StudyInfluence& one : record.influences) {
            if (one.measure == statistic.measure) mine.push_back(one);
        }
        std::ranges::stable_sort(mine, std::greater{}, &StudyInfluence::explained);
        for (std::size_t i = 0; i < std::min(most, mine.size()); ++i) {
            constexpr double faint = 0.005;
            if (mine[i].explained < faint) continue;
            table.rows.push_back({key_text(mine[i].measure), mine[i].key,
                                  percent_text(mine[i].explained), arrow(mine[i].correlation),
                                  fmt::format("{:.2f}", mine[i].correlation)});
        }
    }
    return table;
}

FigureTable study_effect_table(const StudyRecord& record) {
    FigureTable table;
    table.caption =
        "Elementary effects over the whole range of a key: mean magnitude μ*, mean μ, spread σ";
    table.headings = {"Measure: key", "Unit", "μ*", "μ", "σ"};
    for (const StudyStatistic& statistic : record.statistics) {
        std::vector<StudyEffect> mine;
        for (const StudyEffect& one : record.effects) {
            if (one.measure == statistic.measure) mine.push_back(one);
        }
        std::ranges::stable_sort(mine, std::greater{}, &StudyEffect::mean_absolute);
        for (const StudyEffect& one : mine) {
            // Differences: an offset of the unit falls out.
            Shown shown = measure_shown_as(one.measure, one.units,
                                           std::max(mine.front().mean_absolute, 1e-12));
            shown.offset = 0.0;
            table.rows.push_back({fmt::format("{}: {}", key_text(one.measure), one.key),
                                  shown.units, number_text(shown.of(one.mean_absolute)),
                                  number_text(shown.of(one.mean)),
                                  number_text(shown.of(one.deviation))});
        }
    }
    return table;
}

FigureTable study_index_table(const StudyRecord& record) {
    FigureTable table;
    table.caption = "Shares of variance, with 95 % intervals of the bootstrap";
    table.headings = {"Measure: key", "First order", "95 % interval", "Total", "95 % interval "};
    for (const StudyStatistic& statistic : record.statistics) {
        std::vector<StudyIndex> mine;
        for (const StudyIndex& one : record.indices) {
            if (one.measure == statistic.measure) mine.push_back(one);
        }
        std::ranges::stable_sort(mine, std::greater{}, &StudyIndex::total);
        for (const StudyIndex& one : mine) {
            table.rows.push_back({fmt::format("{}: {}", key_text(one.measure), one.key),
                                  fmt::format("{:.3f}", one.first),
                                  fmt::format("{:.3f} to {:.3f}", one.first_low, one.first_high),
                                  fmt::format("{:.3f}", one.total),
                                  fmt::format("{:.3f} to {:.3f}", one.total_low, one.total_high)});
        }
    }
    return table;
}

FigureTable study_failure_table(const StudyRecord& record, std::size_t most) {
    FigureTable table;
    table.caption = "Variants without measures";
    table.headings = {"Why", "Variant"};
    for (const StudyFailure& one : record.failures) {
        if (table.rows.size() == most) break;
        table.rows.push_back({one.why, fmt::format("{}", one.variant)});
    }
    return table;
}

FigureTable study_variant_table(const StudyRecord& record, std::size_t most) {
    FigureTable table;
    table.caption = "Every variant";
    if (record.variants.size() > most) return table;
    table.headings = {"Variant"};
    for (std::size_t k = 0; k < record.head.keys.size(); ++k) {
        table.headings.push_back(key_heading(record.head, k));
    }
    struct Measure {
        std::size_t column;
        Figures figure;
    };
    std::vector<Measure> measures;
    constexpr std::size_t widest = 3;
    for (const StudyStatistic& one : record.statistics) {
        const std::ptrdiff_t column = study_column(record, one.measure);
        if (column < 0 || measures.size() == widest || !(one.most > one.least)) continue;
        const auto c = static_cast<std::size_t>(column);
        measures.push_back({c, Figures(one.measure, one.units, largest(record.measures[c]))});
        const std::string& units = measures.back().figure.shown.units;
        table.headings.push_back(units.empty()
                                     ? key_text(one.measure)
                                     : fmt::format("{} [{}]", key_text(one.measure), units));
    }
    for (std::size_t r = 0; r < record.variants.size(); ++r) {
        std::vector<std::string> row = {fmt::format("{}", record.variants[r])};
        for (std::size_t k = 0; k < record.head.keys.size(); ++k) {
            row.push_back(study_value(record.head.keys[k], record.values[k][r]));
        }
        for (const Measure& one : measures)
            row.push_back(one.figure(record.measures[one.column][r]));
        table.rows.push_back(std::move(row));
    }
    return table;
}

}  // namespace damper
