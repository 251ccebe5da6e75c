// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/schema.hpp"
#include "libdamper/describe/tree.hpp"

#include <filesystem>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace damper {

/// One step of a key path: a key, or the index of a list entry.
using PathStep = std::variant<std::string, std::size_t>;

/// The index that stands for every entry of a list, written [*].
inline constexpr std::size_t every_entry = static_cast<std::size_t>(-1);

/// "disc.stages[0].stiffness", "gearbox.gears[*].backlash" → steps; empty if it is no key path.
[[nodiscard]] std::vector<PathStep> split_path(const std::string& text);

/// A value that takes the place of what the files say. A text "times 0.5" for a number multiplies
/// what they say, and is an error where they say nothing.
struct Change {
    std::string key;  ///< As the user wrote it.
    TreeNode node;
};

/// It takes what is there times a factor, so that what was changed before still counts.
[[nodiscard]] bool multiplies(const Change& change);

/// The entries of a [change] table. Keys may be quoted ("disc.damping") or not (disc.damping);
/// a table changes only the keys that it lists.
[[nodiscard]] std::vector<Change> changes_in(const TreeNode& table);

/// The changes of a command line, KEY=VALUE each. Lists and tables are read as TOML, everything
/// else is text that the key's own reader understands. Bad lists give findings.
[[nodiscard]] std::vector<Change> changes_in(
    const std::vector<std::pair<std::string, std::string>>& settings, SourceMap& map,
    std::vector<Finding>& findings);

/// Where changes are applied and what they may name.
struct ChangeTarget {
    TreeNode& root;
    const PartSchema& schema;
    /// Keys that `schema` does not have are looked for below this key ("vehicle"); may be empty.
    std::string_view fallback;
    std::filesystem::path folder;  ///< Paths to part files start here.
};

/// Applies changes to the tree before its values get types. "none" takes a part out that may be
/// left out ("two_mass_flywheel", "mounts", "cover" …). Replacing a whole part comes before
/// changing a value inside it, whatever their order; of two changes to one key the later holds.
void apply(std::vector<Change> changes, const ChangeTarget& target, PartFiles& files,
           SourceMap& map, std::vector<Finding>& findings);

}  // namespace damper
