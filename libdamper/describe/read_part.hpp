// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/read_value.hpp"
#include "libdamper/describe/schema.hpp"
#include "libdamper/describe/tree.hpp"
#include "libdamper/parts/check.hpp"

#include <fmt/format.h>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace damper {

/// Fills parts from the tree by their field tables: one reader for every part. Unknown and missing
/// keys, wrong values and broken rules across fields become findings.
class PartReader {
  public:
    PartReader(SourceMap& map, std::vector<Finding>& findings,
               std::map<std::string, std::string>& provenance,
               std::map<std::string, std::string>& written)
        : map_(map),
          findings_(findings),
          provenance_(provenance),
          written_(written),
          values_(map, findings) {}

    /// Reads all keys of `part`. Keys in `others` are known as well and left alone.
    template <class Part>
    void read(const TreeNode& node, const std::string& path, Part& part,
              std::vector<std::string> others = {}) {
        const TreeNode::Table* table = table_of(node, path, PartTable<Part>::noun);
        if (table == nullptr) return;
        const std::size_t before = findings_.size();
        std::vector<std::string> known = std::move(others);
        for_each_field<Part>([&](const auto& one) {
            known.emplace_back(one.key);
            read_field(one, node, path, part);
        });
        refuse_unknown(*table, path, PartTable<Part>::noun, known);
        if constexpr (requires { check(part); }) {
            if (findings_.size() == before) add(check(part), path);
        }
    }

    /// Adds findings of rules across fields, with the places of their keys.
    void add(const std::vector<Finding>& findings, const std::string& path);

    /// The table of a part, or a finding and null.
    [[nodiscard]] const TreeNode::Table* table_of(const TreeNode& node, const std::string& path,
                                                  std::string_view noun);
    void refuse_unknown(const TreeNode::Table& table, const std::string& path,
                        std::string_view noun, const std::vector<std::string>& known);
    /// Says that a key is missing from the table at `spot`.
    void refuse_missing(const Spot& spot, const std::string& path, std::string_view meaning,
                        const std::string& example);
    /// Keeps where the value at `path` came from, and how it was written if it is a single one.
    void note(const std::string& path, const TreeNode& node);

    [[nodiscard]] ValueReader& values() { return values_; }

  private:
    template <class Part, class Value>
    void read_field(const Field<Part, Value>& one, const TreeNode& node, const std::string& path,
                    Part& part) {
        const std::string here = key_path<Part>(path, one.key);
        const TreeEntry* entry = find_entry(*node.table(), one.key);
        Value& value = part.*one.member;
        if (entry != nullptr) {
            note(here, entry->node);
            read_value(entry->node, here, one.range, value);
        } else if (one.need.kind == Need::Kind::required) {
            refuse_missing(node.spot, here, one.meaning, expected_of<Value>(one.range));
        } else if (one.need.kind == Need::Kind::has_default) {
            const TreeNode text{std::string(one.need.text), node.spot, TreeNode::Origin::set};
            read_value(text, here, one.range, value);
            provenance_[here] = "built-in default";
        }
    }

    template <class Value>
    [[nodiscard]] static std::string expected_of(const Range& range) {
        if constexpr (is_quantity<Value>) {
            return example_of(Value::dimension);
        } else if constexpr (std::is_same_v<Value, int>) {
            return "a whole number, " + in_words(range);
        } else if constexpr (is_text<Value>) {
            return range.words.empty() ? "a text in quotation marks"
                                       : fmt::format("\"{}\"", fmt::join(range.words, "\" or \""));
        } else if constexpr (is_list<Value>) {
            return "a list";
        } else if constexpr (is_optional<Value>) {
            return expected_of<typename Value::value_type>(range);
        } else {
            return std::string(PartTable<Value>::noun);
        }
    }

    template <class Value>
    void read_value(const TreeNode& node, const std::string& path, const Range& range,
                    Value& value) {
        if (node.broken()) return;
        if constexpr (is_quantity<Value>) {
            if (const auto si = values_.quantity(node, path, Value::dimension, range)) {
                value = Value::from_si(*si);
            }
        } else if constexpr (std::is_same_v<Value, int>) {
            if (const auto number = values_.integer(node, path, range)) value = *number;
        } else if constexpr (is_text<Value>) {
            if (auto text = values_.text(node, path, range)) value = std::move(*text);
        } else if constexpr (is_list<Value>) {
            read_list(node, path, range, value);
        } else if constexpr (is_optional<Value>) {
            read_value(node, path, range, value.emplace());
        } else {
            read(node, path, value);
        }
    }

    template <class Entry>
    void read_list(const TreeNode& node, const std::string& path, const Range& range,
                   std::vector<Entry>& list) {
        const TreeNode::Array* array = list_of(node, path, range);
        if (array == nullptr) return;
        for (std::size_t i = 0; i < array->size(); ++i) {
            const std::string here = fmt::format("{}[{}]", path, i);
            map_.note(here, (*array)[i].spot);
            list.emplace_back();
            read_value((*array)[i], here, range, list.back());
        }
    }

    /// The entries of a list of allowed length, or a finding and null.
    [[nodiscard]] const TreeNode::Array* list_of(const TreeNode& node, const std::string& path,
                                                 const Range& range);

    SourceMap& map_;
    std::vector<Finding>& findings_;
    std::map<std::string, std::string>& provenance_;
    std::map<std::string, std::string>& written_;
    ValueReader values_;
};

}  // namespace damper
