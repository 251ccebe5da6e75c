// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Reads a scenario's files once and makes many variants of it: changes are applied to the tree
/// that was read, then values, ranges and rules across fields are checked as read_scenario() does.
/// Takes a fraction of what reading the files again would. One reader a thread.
class ScenarioReader {
  public:
    /// Throws InputError if the files or the changes of the options do not fit.
    ScenarioReader(const std::filesystem::path& file, const ReadOptions& options);
    ScenarioReader(ScenarioReader&&) noexcept;
    ScenarioReader& operator=(ScenarioReader&&) = delete;
    ~ScenarioReader();

    /// The scenario with these changes, KEY and VALUE each, on top of those of the options: a value
    /// "times 0.5" multiplies what they left. Throws InputError with every finding; the reader
    /// stays fit for other changes.
    [[nodiscard]] Scenario read(const std::vector<std::pair<std::string, std::string>>& changes);

  private:
    struct Kept;
    std::unique_ptr<Kept> kept_;
};

}  // namespace damper
