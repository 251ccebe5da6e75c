// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/source_map.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace damper {

struct TreeEntry;

/// A value that TOML knows but a description has no use for: a date, a time, true, false.
struct Unusable {
    std::string what;  ///< "a date", "true", …
};

/// A part whose file could not be read; that was said already.
struct Broken {};

/// A description before its values have types: what was written, and where.
struct TreeNode {
    enum class Origin { file, change, set };
    using Array = std::vector<TreeNode>;
    using Table = std::vector<TreeEntry>;
    std::variant<Broken, Unusable, std::string, std::int64_t, double, Array, Table> value;
    Spot spot;
    Origin origin = Origin::file;

    [[nodiscard]] const Table* table() const { return std::get_if<Table>(&value); }
    [[nodiscard]] Table* table() { return std::get_if<Table>(&value); }
    [[nodiscard]] const Array* array() const { return std::get_if<Array>(&value); }
    [[nodiscard]] Array* array() { return std::get_if<Array>(&value); }
    [[nodiscard]] const std::string* text() const { return std::get_if<std::string>(&value); }
    [[nodiscard]] bool broken() const { return std::holds_alternative<Broken>(value); }
};

struct TreeEntry {
    std::string key;
    Spot spot;  ///< Of the key.
    TreeNode node;
};

[[nodiscard]] const TreeEntry* find_entry(const TreeNode::Table& table, std::string_view key);
[[nodiscard]] TreeEntry* find_entry(TreeNode::Table& table, std::string_view key);

/// The value in words for a message: "\"6 deg\"", "18", "a table", "a list of 3".
[[nodiscard]] std::string in_words(const TreeNode& node);

/// The value as it was written, for the record of changes: "6 deg", "18", "[1, 3, 4, 2]".
[[nodiscard]] std::string as_written(const TreeNode& node);

/// "disc" and "stages" → "disc.stages"; an empty path adds nothing.
[[nodiscard]] std::string join_path(std::string_view path, std::string_view key);

}  // namespace damper
