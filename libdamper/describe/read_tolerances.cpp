// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_tolerances.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read_part.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <optional>
#include <variant>

namespace damper {

namespace {

using Names = std::vector<std::pair<std::string, std::string>>;

std::optional<double> at_least_zero(const TreeNode& node, const std::string& path,
                                    const Dimension& due, PartReader& reader) {
    const auto value = reader.values().quantity(node, path, due, any());
    if (value && *value < 0.0) {
        reader.values().refuse(node.spot, path, in_words(node), "zero or more");
        return std::nullopt;
    }
    return value;
}

Dimension dimension_of(const std::string& units) {
    const auto unit = read_unit(units);
    const auto* known = std::get_if<ReadUnit>(&unit);
    return known != nullptr ? known->dimension : Dimension{};
}

/// Null, with a finding, if there is no such name.
const std::string* units_of(const TreeEntry& entry, const std::string& path, const Names& names,
                            const char* noun, PartReader& reader) {
    std::vector<std::string> known;
    for (const auto& [name, units] : names) {
        if (name == entry.key) return &units;
        known.push_back(name);
    }
    const std::string near = nearest_word(entry.key, known);
    reader.values().refuse(entry.spot, path,
                           fmt::format("the unknown {} {}", noun, quote(entry.key)),
                           fmt::format("a {} that is taken", noun),
                           near.empty() ? fmt::format("There are: {}.", fmt::join(known, ", "))
                                        : fmt::format("Did you mean \"{}\"?", near));
    return nullptr;
}

Tolerance read_one(const TreeNode::Table& table, const std::string& path, const std::string& units,
                   bool has_intervals, PartReader& reader) {
    std::vector<std::string> keys = {"absolute", "relative"};
    if (has_intervals) keys.emplace_back("intervals");
    reader.refuse_unknown(table, path, "a tolerance", keys);
    Tolerance out;
    const auto take = [&](const char* key, const Dimension& due, std::optional<double>& value) {
        if (const TreeEntry* entry = find_entry(table, key)) {
            value = at_least_zero(entry->node, join_path(path, key), due, reader);
        }
    };
    take("absolute", dimension_of(units), out.absolute);
    take("relative", {}, out.relative);
    if (has_intervals) take("intervals", {}, out.intervals);
    return out;
}

void read_section(const TreeNode::Table& root, const char* section, const char* noun,
                  const Names& names, bool has_intervals, PartReader& reader,
                  std::map<std::string, Tolerance>& out) {
    const TreeEntry* entry = find_entry(root, section);
    if (entry == nullptr) return;
    const TreeNode::Table* table =
        reader.table_of(entry->node, section, fmt::format("the tolerances of {}", section));
    if (table == nullptr) return;
    for (const TreeEntry& one : *table) {
        const std::string path = join_path(section, one.key);
        const std::string* units = units_of(one, path, names, noun, reader);
        if (units == nullptr) continue;
        const TreeNode::Table* inner = reader.table_of(one.node, path, "a tolerance");
        if (inner != nullptr) out[one.key] = read_one(*inner, path, *units, has_intervals, reader);
    }
}

}  // namespace

Tolerances read_tolerances(const std::filesystem::path& file, const Names& measures,
                           const Names& signals) {
    SourceMap map;
    std::vector<Finding> findings;
    PartFiles files({}, map, findings);
    const PartSchema schema{"a file of tolerances", "", {}, nullptr};
    const TreeNode root = files.read_first(file, schema);
    if (root.broken()) throw InputError(std::move(findings));
    std::map<std::string, std::string> provenance, written;
    PartReader reader(map, findings, provenance, written);
    Tolerances out;
    if (const TreeNode::Table* table = reader.table_of(root, "", "a file of tolerances")) {
        reader.refuse_unknown(*table, "", "a file of tolerances", {"measures", "signals"});
        read_section(*table, "measures", "measure", measures, true, reader, out.measures);
        read_section(*table, "signals", "signal", signals, false, reader, out.signals);
    }
    if (!findings.empty()) throw InputError(std::move(findings));
    return out;
}

}  // namespace damper
