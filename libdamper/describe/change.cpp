// SPDX-License-Identifier: MIT
#include "libdamper/describe/change.hpp"

#include "libdamper/describe/key_hint.hpp"
#include "libdamper/describe/parse_toml.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>
#include <system_error>

namespace damper {

namespace {

using Kind = SchemaKey::Kind;

void collect(const TreeNode& node, const std::string& path, std::vector<Change>& changes) {
    const TreeNode::Table* table = node.table();
    if (table == nullptr) {
        changes.push_back({path, node});
        changes.back().node.origin = TreeNode::Origin::change;
        return;
    }
    for (const TreeEntry& entry : *table) collect(entry.node, join_path(path, entry.key), changes);
}

void mark(TreeNode& node, TreeNode::Origin origin, const Spot& spot) {
    node.origin = origin;
    node.spot = spot;
    if (auto* array = node.array()) {
        for (TreeNode& one : *array) mark(one, origin, spot);
    }
    if (auto* table = node.table()) {
        for (TreeEntry& entry : *table) {
            entry.spot = spot;
            mark(entry.node, origin, spot);
        }
    }
}

/// On a command line quotation marks are not needed; who types them as in a file means the same.
std::string without_quotes(const std::string& value) {
    const bool quoted = value.size() >= 2 && value.front() == '"' && value.back() == '"' &&
                        value.find('"', 1) == value.size() - 1;
    return quoted ? value.substr(1, value.size() - 2) : value;
}

std::string listed(const std::vector<std::string>& names) {
    constexpr std::size_t most_listed = 16;
    if (names.empty() || names.size() > most_listed) return "";
    return fmt::format("There are: {}.", fmt::join(names, ", "));
}

constexpr std::string_view times = "times ";

/// "7.5 deg" → 7.5 and " deg".
struct Leading {
    double number = 0.0;
    std::string rest;
};
std::optional<Leading> leading_number(const std::string& text) {
    Leading out;
    const char* end = text.data() + text.size();
    const auto read = std::from_chars(text.data(), end, out.number);
    if (read.ec != std::errc() || !std::isfinite(out.number)) return {};
    out.rest = std::string(read.ptr, end);
    return out;
}

/// Follows one change down the tree.
class Walk {
  public:
    Walk(const Change& change, const ChangeTarget& target, PartFiles& files, SourceMap& map,
         std::vector<Finding>& findings)
        : change_(change), target_(target), files_(files), map_(map), findings_(findings) {}

    void go() {
        auto steps = split_path(change_.key);
        if (steps.empty()) {
            return refuse("no key path", "a key such as disc.stages[0].stiffness", "");
        }
        const auto* first = std::get_if<std::string>(&steps.front());
        const SchemaKey* fallback = target_.schema.find(target_.fallback);
        if (first != nullptr && target_.schema.find(*first) == nullptr && fallback != nullptr &&
            fallback->child->find(*first) != nullptr) {
            steps.insert(steps.begin(), std::string(target_.fallback));
        }
        descend(target_.root, target_.schema, steps, 0, "");
    }

  private:
    void refuse(std::string found, std::string expected, std::string mend) {
        findings_.push_back({map_.place(change_.node.spot), change_.key, std::move(found),
                             std::move(expected), std::move(mend)});
    }

    void descend(TreeNode& node, const PartSchema& schema, const std::vector<PathStep>& steps,
                 std::size_t at, const std::string& path) {
        if (node.broken()) return;  // said already
        const auto* name = std::get_if<std::string>(&steps[at]);
        if (name == nullptr) return refuse("an index", fmt::format("a key of {}", schema.noun), "");
        SchemaKey key{*name, Kind::part, schema.any_key};
        if (schema.any_key == nullptr) {
            const SchemaKey* known = schema.find(*name);
            if (known == nullptr) return refuse_key(schema, *name, at);
            key = *known;
        }
        TreeNode::Table* table = node.table();
        if (table == nullptr) {
            return refuse(in_words(node), fmt::format("{} as a table", schema.noun), "");
        }
        const std::string here =
            at == 0 && key.key == target_.fallback ? "" : join_path(path, key.key);
        const bool last = at + 1 == steps.size();
        TreeEntry* entry = find_entry(*table, *name);
        if (entry == nullptr) {
            if (!last && key.kind != Kind::part) {
                return refuse(fmt::format("no {} to change a value in", here),
                              "a list that the description gives",
                              whole_list(here, key, std::get_if<std::size_t>(&steps[at + 1])));
            }
            table->push_back({*name,
                              change_.node.spot,
                              {TreeNode::Table{}, change_.node.spot, change_.node.origin}});
            entry = &table->back();
        }
        if (last && key.kind == Kind::part && key.optional && change_.node.text() != nullptr &&
            *change_.node.text() == "none") {
            std::erase_if(*table, [&](const TreeEntry& one) { return one.key == *name; });
            return;
        }
        if (last) return put(*entry, key, here);
        if (key.kind == Kind::part) return descend(entry->node, *key.child, steps, at + 1, here);
        enter_list(entry->node, key, steps, at + 1, here);
    }

    void enter_list(TreeNode& list, const SchemaKey& key, const std::vector<PathStep>& steps,
                    std::size_t at, const std::string& path) {
        const auto* index = std::get_if<std::size_t>(&steps[at]);
        TreeNode::Array* array = list.array();
        const bool is_list = key.kind == Kind::parts || key.kind == Kind::numbers;
        if (!is_list || array == nullptr || index == nullptr) {
            const std::string what = !is_list           ? "a single value"
                                     : array == nullptr ? in_words(list)
                                                        : "a list";
            return refuse(fmt::format("a key inside {}, which is {}", path, what),
                          is_list ? fmt::format("an index, {}[0]", path) : path, "");
        }
        if (*index == every_entry && !array->empty()) {
            for (std::size_t i = 0; i < array->size(); ++i) {
                std::vector<PathStep> one = steps;
                one[at] = i;
                enter_list(list, key, one, at, path);
            }
            return;
        }
        if (*index >= array->size()) {
            return refuse(
                *index == every_entry ? "the index *" : fmt::format("the index {}", *index),
                array->empty()
                    ? fmt::format("no index: {} is empty", path)
                    : fmt::format("an index from 0 to {}: {} has {} {}", array->size() - 1, path,
                                  array->size(), array->size() == 1 ? "entry" : "entries"),
                "Lists are counted from 0.");
        }
        TreeNode& node = (*array)[*index];
        const std::string here = fmt::format("{}[{}]", path, *index);
        const bool last = at + 1 == steps.size();
        if (key.kind == Kind::parts && !last) return descend(node, *key.child, steps, at + 1, here);
        if (!last) return refuse(fmt::format("a key inside {}, a single value", here), here, "");
        if (const auto value = multiplied(&node)) node = *value;
    }

    void put(TreeEntry& entry, const SchemaKey& key, const std::string& path) {
        if (key.kind == Kind::part && change_.node.table() != nullptr &&
            entry.node.table() != nullptr) {
            for (const TreeEntry& inner : *change_.node.table()) {
                TreeEntry* old = find_entry(*entry.node.table(), inner.key);
                old != nullptr ? void(*old = inner) : entry.node.table()->push_back(inner);
            }
        } else if (key.kind == Kind::number) {
            const bool known = entry.node.table() == nullptr;  // a new entry is an empty table
            const auto value = multiplied(known ? &entry.node : nullptr);
            entry.node =
                value ? *value : TreeNode{Broken{}, change_.node.spot, change_.node.origin};
        } else {
            entry.node = change_.node;
        }
        entry.spot = change_.node.spot;
        if (key.kind == Kind::part) {
            files_.resolve(entry.node, *key.child, path, from_where_it_is_typed(entry.node));
        }
    }

    /// A file that the command line names is one that its user sees, wherever the scenario lies:
    /// leaves its name and returns its folder.
    [[nodiscard]] std::filesystem::path from_where_it_is_typed(TreeNode& node) const {
        if (node.origin != TreeNode::Origin::set || node.text() == nullptr) return target_.folder;
        const std::filesystem::path typed(*node.text());
        std::error_code error;
        if (typed.extension() != ".toml" || !std::filesystem::exists(typed, error)) {
            return target_.folder;
        }
        node.value = typed.filename().string();
        return typed.has_parent_path() ? typed.parent_path() : std::filesystem::path(".");
    }

    /// The value that a number takes: the change's own, or the old one times its factor.
    [[nodiscard]] std::optional<TreeNode> multiplied(const TreeNode* old) {
        const std::string* text = change_.node.text();
        if (!multiplies(change_)) return change_.node;
        const auto factor = leading_number(text->substr(times.size()));
        if (!factor || !factor->rest.empty()) {
            refuse(quote(*text), "times and a number, such as \"times 0.5\"", "");
            return {};
        }
        if (old == nullptr) {
            refuse(fmt::format("{}, but the description says nothing here", quote(*text)),
                   "a value", "What is left out cannot be multiplied: give the value itself.");
            return {};
        }
        TreeNode value = change_.node;
        if (const auto* whole = std::get_if<std::int64_t>(&old->value)) {
            const double product = static_cast<double>(*whole) * factor->number;
            value.value = product;
            if (product == std::round(product)) value.value = static_cast<std::int64_t>(product);
        } else if (const auto* number = std::get_if<double>(&old->value)) {
            value.value = *number * factor->number;
        } else if (old->text() != nullptr && leading_number(*old->text())) {
            const auto before = leading_number(*old->text());
            value.value = fmt::format("{:.15g}{}", before->number * factor->number, before->rest);
        } else {
            refuse(fmt::format("{} of {}", quote(*text), in_words(*old)), "a number to multiply",
                   "");
            return {};
        }
        return value;
    }

    void refuse_key(const PartSchema& schema, const std::string& name, std::size_t at) {
        auto names = schema.key_names();
        const SchemaKey* fallback = target_.schema.find(target_.fallback);
        if (at == 0 && fallback != nullptr) {
            for (auto& more : fallback->child->key_names()) names.push_back(std::move(more));
        }
        std::string hint = key_hint(name, names);
        if (hint.empty() && at == 0) {
            const std::string inner = deeper(name);
            if (!inner.empty()) hint = fmt::format("Did you mean \"{}\"?", inner);
        }
        refuse(fmt::format("the unknown key {}", quote(name)),
               fmt::format("a key of {}", schema.noun), hint.empty() ? listed(names) : hint);
    }

    /// How to give a list of which one entry was to be changed: "Write the whole list: …".
    [[nodiscard]] std::string whole_list(const std::string& path, const SchemaKey& key,
                                         const std::size_t* index) const {
        constexpr std::size_t longest_shown = 12;
        if (key.kind != Kind::numbers || index == nullptr || *index >= longest_shown) {
            return key.kind == Kind::parts || key.kind == Kind::numbers ? "Give the whole list."
                                                                        : "";
        }
        std::vector<std::string> entries(*index + 1, "1");
        const std::string value = as_written(change_.node);
        const bool plain = value.find_first_not_of("0123456789+-.eE") == std::string::npos;
        entries.back() = plain ? value : fmt::format("\"{}\"", value);
        const bool set = change_.node.origin == TreeNode::Origin::set;
        return fmt::format("Write the whole list, all entries of it: {}{}[{}].", path,
                           set ? "=" : " = ", fmt::join(entries, ", "));
    }

    /// A key given without the part that holds it: "mass" for "body.mass".
    [[nodiscard]] std::string deeper(const std::string& name) const {
        std::vector<const SchemaKey*> top;
        for (const SchemaKey& key : target_.schema.keys) top.push_back(&key);
        if (const SchemaKey* fallback = target_.schema.find(target_.fallback)) {
            for (const SchemaKey& key : fallback->child->keys) top.push_back(&key);
        }
        for (const SchemaKey* key : top) {
            if (key->kind == Kind::part && key->child->find(name) != nullptr) {
                return fmt::format("{}.{}", key->key, name);
            }
        }
        return "";
    }

    const Change& change_;
    const ChangeTarget& target_;
    PartFiles& files_;
    SourceMap& map_;
    std::vector<Finding>& findings_;
};

}  // namespace

bool multiplies(const Change& change) {
    const std::string* text = change.node.text();
    return text != nullptr && text->starts_with(times);
}

std::vector<PathStep> split_path(const std::string& text) {
    std::vector<PathStep> steps;
    std::size_t at = 0;
    while (at < text.size()) {
        if (text[at] == '[') {
            const std::size_t end = text.find(']', at);
            if (end == std::string::npos || steps.empty()) return {};
            if (text.substr(at, end - at) == "[*") {
                steps.emplace_back(every_entry);
                at = end + 1;
                continue;
            }
            std::size_t index = 0;
            const char* last = text.data() + end;
            const auto read = std::from_chars(text.data() + at + 1, last, index);
            if (read.ec != std::errc() || read.ptr != last || index == every_entry) return {};
            steps.emplace_back(index);
            at = end + 1;
            continue;
        }
        if (!steps.empty()) {
            if (text[at] != '.') return {};
            ++at;
        }
        const std::size_t end = std::min(text.find_first_of(".[", at), text.size());
        if (end == at) return {};
        steps.emplace_back(text.substr(at, end - at));
        at = end;
    }
    constexpr std::size_t deepest = 16;
    if (steps.size() > deepest) return {};
    return steps;
}

std::vector<Change> changes_in(const TreeNode& table) {
    std::vector<Change> changes;
    if (table.table() != nullptr) collect(table, "", changes);
    return changes;
}

std::vector<Change> changes_in(const std::vector<std::pair<std::string, std::string>>& settings,
                               SourceMap& map, std::vector<Finding>& findings) {
    std::vector<Change> changes;
    if (settings.empty()) return changes;
    const Spot spot{map.add("--set", ""), 0, 0};
    for (const auto& [key, value] : settings) {
        Change change{key, {without_quotes(value), spot, TreeNode::Origin::set}};
        if (value.starts_with('[') || value.starts_with('{')) {
            auto parsed = parse_toml("value = " + value, spot.source, map);
            const auto* root = std::get_if<TreeNode>(&parsed);
            if (root == nullptr || root->table()->size() != 1) {
                findings.push_back({map.place(spot), key, quote(value),
                                    "a list such as [1, 3, 4, 2] or a table such as {a = 1}", ""});
                continue;
            }
            change.node = root->table()->front().node;
            mark(change.node, TreeNode::Origin::set, spot);
        }
        changes.push_back(std::move(change));
    }
    return changes;
}

void apply(std::vector<Change> changes, const ChangeTarget& target, PartFiles& files,
           SourceMap& map, std::vector<Finding>& findings) {
    std::ranges::stable_sort(changes, {}, [&](const Change& change) {
        auto steps = split_path(change.key);
        const auto* first = steps.empty() ? nullptr : std::get_if<std::string>(&steps.front());
        const bool full = first != nullptr && *first == target.fallback;
        return steps.size() - (full ? 1U : 0U);
    });
    for (const Change& change : changes) Walk(change, target, files, map, findings).go();
}

}  // namespace damper
