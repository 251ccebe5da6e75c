// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/results/study_head.hpp"
#include "libdamper/results/study_shard.hpp"
#include "libdamper/studies/run_settings.hpp"
#include "libdamper/studies/study_plan.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// A scenario and what is done with it.
struct VariantStudy {
    std::string verb;  ///< "vary" or "scatter".
    std::filesystem::path file;
    ReadOptions options;
    RunSettings run;
    StudyPlan plan;
};

/// Runs the scenario as it stands and says what the study is. A variant with every key at the
/// middle of its range is read as well, so that a key that does not fit is found before anything
/// runs for long. Throws InputError if it is refused and the first variants are as well.
[[nodiscard]] StudyHead head_of(const VariantStudy& study);

/// Variants that are there already.
class VariantSet {
  public:
    explicit VariantSet(std::int64_t total) : bits_(static_cast<std::size_t>(total)) {}
    void add(std::uint64_t variant) {
        if (!bits_.at(variant)) ++count_;
        bits_[variant] = true;
    }
    [[nodiscard]] bool holds(std::uint64_t variant) const { return bits_.at(variant); }
    [[nodiscard]] std::int64_t count() const { return count_; }
    [[nodiscard]] std::int64_t total() const { return static_cast<std::int64_t>(bits_.size()); }

  private:
    std::vector<bool> bits_;
    std::int64_t count_ = 0;
};

/// One part of the work out of several: of `parts` parts the variants with number % parts = part.
struct StudyPart {
    std::int64_t part = 0;
    std::int64_t parts = 1;
};

/// Runs the variants of a part that are not in `done`, on `threads` threads (0: all processors),
/// and hands each result to `keep` as it comes, one at a time. Signals are not stored. A variant
/// whose values do not fit or whose run breaks off is a result as well. What `keep` throws ends the
/// work. A stop request drops the runs under way. `report` of the progress is called from one
/// thread at a time with the share of this part's variants that is done.
void run_variants(const VariantStudy& study, const StudyHead& head, const VariantSet& done,
                  StudyPart part, std::size_t threads,
                  const std::function<void(const VariantResult&)>& keep, const Progress& progress);

/// Where the next variant to run comes from; nothing when there are no more. Asked by several
/// threads at a time.
using NextVariant = std::function<std::optional<std::uint64_t>()>;

/// The same for variants that someone else hands out. `threads` at least 1.
void run_variants(const VariantStudy& study, const StudyHead& head, const NextVariant& next,
                  std::size_t threads, const std::function<void(const VariantResult&)>& keep,
                  const std::function<bool()>& stop);

}  // namespace damper
