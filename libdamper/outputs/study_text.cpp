// SPDX-License-Identifier: MIT
#include "libdamper/outputs/study_text.hpp"

#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/study_rows.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/verdict_text.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t most_variants = 40;
constexpr std::size_t most_failures = 5;
constexpr std::size_t most_keys = 3;
constexpr std::size_t most_gaps = 5;

std::string shown(const FigureTable& table) {
    return table.rows.empty() ? "" : figure_text(table);
}

std::string keys_text(const StudyHead& head) {
    std::string out = "\n";
    for (const StudyKey& key : head.keys) {
        out += wrapped(fmt::format("{} = {}", key.key, key.asked), text_width, "  ");
    }
    return out;
}

std::string missing_text(const StudyRecord& record) {
    if (record.missing.empty()) return "";
    std::string out = "\nMissing variants:";
    for (std::size_t i = 0; i < record.missing.size() && i < most_gaps; ++i) {
        const auto& [from, to] = record.missing[i];
        out += from == to ? fmt::format(" {}", from) : fmt::format(" {}–{}", from, to);
    }
    if (record.missing.size() > most_gaps) {
        out += fmt::format(" and {} gaps more", record.missing.size() - most_gaps);
    }
    return out + "\n";
}

}  // namespace

std::string study_text(const StudyRecord& record) {
    const StudyHead& head = record.head;
    std::string out = wrapped(
        fmt::format("{}: {}", head.verb == "scatter" ? "Scatter" : "Variants", head.identity.title),
        text_width);
    for (const auto& change : change_texts(head.identity)) {
        out += wrapped(change, text_width, "  * ");
    }
    out += keys_text(head);
    out.append(1, '\n').append(wrapped(study_headline(record), text_width));
    out += wrapped(study_words(record), text_width);
    out += missing_text(record);
    out += list_text("Why", study_reasons(record));
    out += shown(study_limit_table(record));
    out += shown(study_statistic_table(record));
    out += shown(study_influence_table(record, most_keys));
    out += shown(study_effect_table(record));
    out += shown(study_index_table(record));
    out += shown(study_variant_table(record, most_variants));
    out += shown(study_failure_table(record, most_failures));
    out += list_text("Mind", study_cautions(record));
    out.append(1, '\n').append(wrapped(estimate_notice(), text_width));
    return out;
}

}  // namespace damper
