// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_record.hpp"
#include "libdamper/results/study_shard.hpp"
#include "libdamper/studies/variant_study.hpp"

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace damper {

/// Collects results of variants, in any order, into the columns of a record.
class StudyTable {
  public:
    explicit StudyTable(const StudyHead& head);

    /// Takes one result. One that is there already must be the same to the last bit, else
    /// InputError that names `source`.
    void add(const VariantResult& result, const std::string& source);
    /// The columns in the order of the variants, with what is missing; nothing analysed yet. Takes
    /// the table's memory along.
    [[nodiscard]] StudyRecord finish();

  private:
    [[nodiscard]] bool same(const VariantResult& result) const;

    StudyRecord record_;
    std::vector<std::int8_t> ended_;                          ///< [variant], −1: not there
    std::vector<std::vector<double>> values_;                 ///< [key][variant]
    std::map<std::size_t, std::vector<double>> measures_;     ///< number → [variant]
    std::map<std::size_t, std::vector<std::int8_t>> grades_;  ///< number → [variant]
    std::map<std::int64_t, std::string> failures_;
};

/// Reads all shards of one study. Those of another study are refused with what differs. Throws
/// InputError, FileError.
[[nodiscard]] StudyRecord gather_shards(const std::vector<std::filesystem::path>& shards);

/// Shards in a folder, by name; "NAME.part-1-of-4.shard".
[[nodiscard]] std::vector<std::filesystem::path> shards_in(const std::filesystem::path& folder);

/// What the shards of a folder already hold of a study; shards of other studies are refused, those
/// of other scenarios and verbs left alone. Throws InputError, FileError.
[[nodiscard]] VariantSet variants_in(const std::filesystem::path& folder, const StudyHead& head);

/// File name of a shard: "car_idle_hot_scatter.part-1-of-4.shard".
[[nodiscard]] std::string shard_name(const StudyHead& head, StudyPart part);

/// Judges the collected variants: shares beyond the limits, statistics, and which key matters, for
/// the measures named; none: those with a limit, or all if none has one.
void analyse(StudyRecord& record, const std::vector<std::string>& wanted);

}  // namespace damper
