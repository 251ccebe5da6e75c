// SPDX-License-Identifier: MIT
#include "libdamper/describe/tree.hpp"

#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace damper {

namespace {

template <class... Cases>
struct Match : Cases... {
    using Cases::operator()...;
};
template <class... Cases>
Match(Cases...) -> Match<Cases...>;

}  // namespace

const TreeEntry* find_entry(const TreeNode::Table& table, std::string_view key) {
    const auto found =
        std::ranges::find_if(table, [&](const TreeEntry& entry) { return entry.key == key; });
    return found == table.end() ? nullptr : &*found;
}

TreeEntry* find_entry(TreeNode::Table& table, std::string_view key) {
    const auto found =
        std::ranges::find_if(table, [&](const TreeEntry& entry) { return entry.key == key; });
    return found == table.end() ? nullptr : &*found;
}

std::string in_words(const TreeNode& node) {
    return std::visit(Match{[](const Broken&) { return std::string("a part that cannot be read"); },
                            [](const Unusable& unusable) { return unusable.what; },
                            [](const std::string& text) { return quote(text); },
                            [](std::int64_t number) { return fmt::format("{}", number); },
                            [](double number) { return fmt::format("{}", number); },
                            [](const TreeNode::Array& array) {
                                return array.empty() ? std::string("an empty list")
                                                     : fmt::format("a list of {}", array.size());
                            },
                            [](const TreeNode::Table&) { return std::string("a table"); }},
                      node.value);
}

std::string as_written(const TreeNode& node) {
    if (const auto* text = node.text()) return *text;
    if (const auto* array = node.array()) {
        std::string text = "[";
        for (const TreeNode& one : *array) {
            if (text.size() > 1) text += ", ";
            text += one.text() != nullptr ? "\"" + *one.text() + "\"" : as_written(one);
        }
        return text + "]";
    }
    return in_words(node);
}

std::string join_path(std::string_view path, std::string_view key) {
    return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}

}  // namespace damper
