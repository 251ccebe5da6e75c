// SPDX-License-Identifier: MIT
#include "libdamper/results/study_file.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/sealed_image.hpp"
#include "libdamper/results/study_layout.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/results/write_identity.hpp"

#include <cctype>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <set>
#include <span>
#include <string>

namespace damper {

namespace {

/// "disc.stages[0].stiffness" → "disc_stages_0_stiffness", made unique.
std::string dataset_name(const std::string& key, std::set<std::string>& taken) {
    std::string name;
    for (const char letter : key) {
        if (std::isalnum(static_cast<unsigned char>(letter)) != 0) {
            name += letter;
        } else if (!name.empty() && name.back() != '_') {
            name += '_';
        }
    }
    while (!name.empty() && name.back() == '_') name.pop_back();
    while (!taken.insert(name).second) name += "_";
    return name;
}

void write_keys(GroupOut& root, const StudyHead& head, const std::vector<std::string>& columns) {
    std::vector<std::string> keys, asked, units, choices;
    std::vector<std::int8_t> multiplies;
    for (const StudyKey& key : head.keys) {
        keys.push_back(key.key);
        asked.push_back(key.asked);
        units.push_back(key.units);
        choices.push_back(fmt::format("{}", fmt::join(key.choices, "|")));
        multiplies.push_back(key.multiplies ? 1 : 0);
    }
    GroupOut group = root.make_group("keys");
    group.write_index(keys.size());
    group.write_column("key", keys, {"", "key of the description"});
    group.write_column("column", columns, {"", "its column in variants"});
    group.write_column("asked", asked, {"", "range or spread as it was asked for"});
    group.write_column("units", units, {"", "unit of the values"});
    group.write_column("multiplies", std::span<const std::int8_t>(multiplies),
                       {"", "1: the value is a factor on what the files say"});
    group.write_column("choices", choices, {"", "words to choose from; the value is their number"});
}

void fill(GroupOut& root, const StudyRecord& record) {
    const StudyHead& head = record.head;
    write_identity(root, head.identity, {layout::study_format_name, layout::study_format_version},
                   head.solver);
    write_attribute(root.id(), "verb", head.verb);
    write_attribute(root.id(), "design", head.design);
    write_attribute(root.id(), "nominal_grade", head.nominal);
    write_attribute(root.id(), "model_hash", head.model_hash);
    write_attribute(root.id(), "study_hash", head.study_hash);
    const auto count = [&](const char* name, std::int64_t value) {
        write_attribute(root.id(), name, value);
    };
    count("asked", head.asked);
    count("total", head.total);
    count("seed", head.seed);
    count("done", record.done());
    count("refused", record.refused);
    count("broken", record.broken);
    count("missing", record.missing_count);
    count("duplicates", record.duplicates);
    count("any_beyond", record.any_beyond);

    const auto share = [&](const char* name, double value) {
        write_attribute(root.id(), name, value);
    };
    share("any_share", record.any_share);
    share("any_low", record.any_low);
    share("any_high", record.any_high);

    std::set<std::string> taken = {"index", "variant", "ended"};
    std::vector<std::string> columns;
    for (const StudyKey& key : head.keys) columns.push_back(dataset_name(key.key, taken));
    write_keys(root, head, columns);
    GroupOut variants = root.make_group("variants");
    variants.write_index(record.variants.size());
    variants.write_column("variant", std::span<const std::int64_t>(record.variants),
                          {"", "number of the variant"});
    variants.write_column("ended", std::span<const std::int8_t>(record.ended),
                          {"", "0 measured to the end, 1 values refused, 2 run broken off"});
    for (std::size_t k = 0; k < columns.size(); ++k) {
        variants.write_column(columns[k], record.values[k], {head.keys[k].units, head.keys[k].key});
    }
    GroupOut measures = root.make_group("measures");
    measures.write_index(record.variants.size());
    for (std::size_t m = 0; m < record.present.size(); ++m) {
        const StudyMeasure& one = head.measures[record.present[m]];
        measures.write_column(one.name, record.measures[m], {one.units, one.definition});
    }
    GroupOut grades = root.make_group("grades");
    grades.write_index(record.variants.size());
    for (std::size_t m = 0; m < record.present.size(); ++m) {
        grades.write_column(head.measures[record.present[m]].name,
                            std::span<const std::int8_t>(record.grades[m]),
                            {"", "0 good, 1 watch, 2 bad, -1 not judged"});
    }
    write_table(root, "limits", record.limits, layout::study_limits);
    write_table(root, "statistics", record.statistics, layout::study_statistics);
    if (!record.influences.empty()) {
        write_table(root, "influences", record.influences, layout::study_influences);
    }
    if (!record.effects.empty()) {
        write_table(root, "effects", record.effects, layout::study_effects);
    }
    if (!record.indices.empty()) {
        write_table(root, "indices", record.indices, layout::study_indices);
    }
    write_table(root, "failures", record.failures, layout::study_failures);
    write_table(root, "missing", record.missing, layout::study_missing);
    write_texts(root, "head", "text", {head_text(head)},
                "what the study is, as its shards say it; covered by study_hash");
}

}  // namespace

std::vector<std::byte> study_bytes(const StudyRecord& record) {
    return sealed_image("the study", [&](GroupOut& root) { fill(root, record); });
}

void write_study(const std::filesystem::path& path, const StudyRecord& record) {
    write_file_atomically(path, study_bytes(record));
}

}  // namespace damper
