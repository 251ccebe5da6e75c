// SPDX-License-Identifier: MIT
#include "libdamper/studies/study_table.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cstring>
#include <fmt/format.h>
#include <limits>
#include <system_error>

namespace damper {

namespace fs = std::filesystem;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t most_failures = 1000;

bool same_bits(double a, double b) {
    return std::memcmp(&a, &b, sizeof a) == 0;
}

template <class T>
void keep_rows(std::vector<T>& column, const std::vector<std::int64_t>& rows) {
    // Rows rise, so that the column can be packed in place.
    for (std::size_t r = 0; r < rows.size(); ++r) {
        column[r] = column[static_cast<std::size_t>(rows[r])];
    }
    column.resize(rows.size());
    column.shrink_to_fit();
}

}  // namespace

StudyTable::StudyTable(const StudyHead& head)
    : ended_(static_cast<std::size_t>(head.total), -1),
      values_(head.keys.size(), std::vector<double>(static_cast<std::size_t>(head.total))) {
    record_.head = head;
}

bool StudyTable::same(const VariantResult& result) const {
    const std::size_t v = result.variant;
    if (ended_[v] != static_cast<std::int8_t>(result.ended)) return false;
    for (std::size_t k = 0; k < values_.size(); ++k) {
        if (!same_bits(values_[k][v], result.values[k])) return false;
    }
    return std::ranges::all_of(result.measures, [&](const auto& one) {
        const auto column = measures_.find(one.first);
        return column != measures_.end() && same_bits(column->second[v], one.second);
    });
}

void StudyTable::add(const VariantResult& result, const std::string& source) {
    const std::size_t v = result.variant;
    if (v >= ended_.size() || result.values.size() != values_.size()) {
        throw InputError(fmt::format("{}: holds a variant that the study does not have", source));
    }
    if (ended_[v] >= 0) {
        if (!same(result)) {
            throw InputError(fmt::format(
                "{}: variant {} is there twice, with different results\n    Shards of one study "
                "must agree: run it again into an empty folder.",
                source, v));
        }
        ++record_.duplicates;
        return;
    }
    ended_[v] = static_cast<std::int8_t>(result.ended);
    for (std::size_t k = 0; k < values_.size(); ++k) values_[k][v] = result.values[k];
    for (const auto& [number, value] : result.measures) {
        auto& column = measures_[number];
        if (column.empty()) column.resize(ended_.size(), nothing);
        column[v] = value;
    }
    for (const auto& [number, grade] : result.grades) {
        auto& column = grades_[number];
        if (column.empty()) column.resize(ended_.size(), -1);
        column[v] = static_cast<std::int8_t>(grade);
    }
    if (result.ended == VariantResult::Ended::done) return;
    // The first ones in the order of the variants, whatever the order they come in.
    failures_.emplace(static_cast<std::int64_t>(v), result.why);
    if (failures_.size() > most_failures) failures_.erase(std::prev(failures_.end()));
}

StudyRecord StudyTable::finish() {
    StudyRecord& out = record_;
    for (std::size_t v = 0; v < ended_.size(); ++v) {
        const auto number = static_cast<std::int64_t>(v);
        if (ended_[v] >= 0) {
            out.variants.push_back(number);
            out.refused += ended_[v] == 1 ? 1 : 0;
            out.broken += ended_[v] == 2 ? 1 : 0;
            continue;
        }
        ++out.missing_count;
        if (!out.missing.empty() && out.missing.back().second + 1 == number) {
            out.missing.back().second = number;
        } else {
            out.missing.emplace_back(number, number);
        }
    }
    keep_rows(ended_, out.variants);
    out.ended = std::move(ended_);
    for (auto& column : values_) {
        keep_rows(column, out.variants);
        out.values.push_back(std::move(column));
    }
    for (auto& [number, column] : measures_) {
        keep_rows(column, out.variants);
        out.present.push_back(number);
        out.measures.push_back(std::move(column));
        auto& grades = out.grades.emplace_back(out.variants.size(), std::int8_t{-1});
        if (const auto judged = grades_.find(number); judged != grades_.end()) {
            keep_rows(judged->second, out.variants);
            grades = std::move(judged->second);
        }
    }
    for (auto& [variant, why] : failures_) out.failures.push_back({variant, std::move(why)});
    return std::move(record_);
}

std::string shard_name(const StudyHead& head, StudyPart part) {
    return fmt::format("{}_{}.part-{}-of-{}.shard", head.identity.scenario, head.verb,
                       part.part + 1, part.parts);
}

std::vector<fs::path> shards_in(const fs::path& folder) {
    std::vector<fs::path> out;
    std::error_code error;
    for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
        if (at->path().extension() == ".shard") out.push_back(at->path());
    }
    std::ranges::sort(out);
    return out;
}

StudyRecord gather_shards(const std::vector<fs::path>& shards) {
    if (shards.empty()) throw InputError("there are no shards of a study to gather");
    const StudyHead head = read_shard(shards.front(), {}).head;
    StudyTable table(head);
    for (const fs::path& shard : shards) {
        // The head first: a result of another study must not even be looked at.
        const std::string other = difference_of(read_shard(shard, {}).head, head);
        if (!other.empty()) {
            throw InputError(fmt::format("{}: holds another study than {} ({})", shard.string(),
                                         shards.front().string(), other));
        }
        (void)read_shard(shard, [&](VariantResult&& one) { table.add(one, shard.string()); });
    }
    return table.finish();
}

VariantSet variants_in(const fs::path& folder, const StudyHead& head) {
    VariantSet there(head.total);
    const std::string stem = fmt::format("{}_{}.part-", head.identity.scenario, head.verb);
    for (const fs::path& shard : shards_in(folder)) {
        if (!shard.filename().string().starts_with(stem)) continue;
        if (hardly_begun(shard)) continue;
        const std::string other = difference_of(read_shard(shard, {}).head, head);
        if (!other.empty()) {
            throw InputError(fmt::format(
                "{}: holds another study ({})\n    Choose another folder with --out, or --fresh to "
                "begin anew.",
                shard.string(), other));
        }
        (void)read_shard(shard, [&](VariantResult&& one) { there.add(one.variant); });
    }
    return there;
}

}  // namespace damper
