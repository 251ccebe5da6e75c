// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/results/read_parts.hpp"
#include "libdamper/results/readers.hpp"
#include "libdamper/results/sealed_source.hpp"
#include "libdamper/results/study_layout.hpp"
#include "libdamper/results/table_io.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace damper {

namespace {

StudyHead read_head(const GroupIn& root) {
    const std::vector<std::string> text = read_texts(root, "head", "text");
    expect(text.size() == 1, "head: is not one text");
    try {
        return head_of(text.front());
    } catch (const InputError& error) {
        throw H5Failure(std::string("head: ") + error.what());
    }
}

/// Values of a key that has levels or words are one of them; maps are drawn on that.
void expect_known(const StudyKey& key, const std::vector<double>& values) {
    for (const double value : values) {
        expect(key.levels.empty() || std::ranges::find(key.levels, value) != key.levels.end(),
               key.key + ": has a value that is none of its levels");
        expect(key.choices.empty() ||
                   (value >= 0.0 && value < static_cast<double>(key.choices.size()) &&
                    std::floor(value) == value),
               key.key + ": has a value that is none of its words");
    }
}

void read_variants(const GroupIn& root, StudyRecord& record) {
    const GroupIn variants = root.open_group("variants");
    variants.read_column("variant", record.variants);
    const std::size_t count = record.variants.size();
    record.ended = read_rows_of<std::int8_t>(variants, "ended", count);
    const auto columns =
        read_rows_of<std::string>(root.open_group("keys"), "column", record.head.keys.size());
    for (std::size_t k = 0; k < columns.size(); ++k) {
        record.values.push_back(read_rows_of<double>(variants, columns[k], count));
        expect_known(record.head.keys[k], record.values.back());
    }
    const GroupIn measures = root.open_group("measures");
    const GroupIn grades = root.open_group("grades");
    for (const std::string& name : measures.names()) {
        if (name == "index") continue;
        const auto known = std::ranges::find(record.head.measures, name, &StudyMeasure::name);
        expect(known != record.head.measures.end(), name + ": is no measure of the study");
        record.present.push_back(static_cast<std::size_t>(known - record.head.measures.begin()));
        record.measures.push_back(read_rows_of<double>(measures, name, count));
        record.grades.push_back(read_rows_of<std::int8_t>(grades, name, count));
    }
}

template <class Row, class Columns>
void read_if_there(const GroupIn& root, const std::vector<std::string>& there, const char* name,
                   const Columns& columns, std::vector<Row>& rows) {
    if (std::ranges::find(there, name) == there.end()) return;
    rows = read_table<Row>(root, name, columns);
}

}  // namespace

StudyRecord read_study(const GroupIn& root) {
    require_kind(root, {layout::study_format_name, layout::study_format_version});
    StudyRecord record;
    record.head = read_head(root);
    read_variants(root, record);
    record.refused = read_integer(root.id(), "refused");
    record.broken = read_integer(root.id(), "broken");
    record.duplicates = read_integer(root.id(), "duplicates");
    record.missing_count = read_integer(root.id(), "missing");
    record.any_beyond = read_integer(root.id(), "any_beyond");
    record.any_share = read_number(root.id(), "any_share");
    record.any_low = read_number(root.id(), "any_low");
    record.any_high = read_number(root.id(), "any_high");
    record.limits = read_table<StudyLimit>(root, "limits", layout::study_limits);
    record.statistics = read_table<StudyStatistic>(root, "statistics", layout::study_statistics);
    const std::vector<std::string> there = root.names();
    read_if_there(root, there, "influences", layout::study_influences, record.influences);
    read_if_there(root, there, "effects", layout::study_effects, record.effects);
    read_if_there(root, there, "indices", layout::study_indices, record.indices);
    record.failures = read_table<StudyFailure>(root, "failures", layout::study_failures);
    record.missing =
        read_table<std::pair<std::int64_t, std::int64_t>>(root, "missing", layout::study_missing);
    return record;
}

}  // namespace damper
