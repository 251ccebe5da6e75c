// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_part.hpp"

#include "libdamper/describe/key_hint.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>

namespace damper {

namespace {
constexpr std::size_t longest_list = 1000;  // of numbers; parts say their own
constexpr std::size_t most_listed = 14;
}  // namespace

void PartReader::add(const std::vector<Finding>& findings, const std::string& path) {
    for (Finding finding : findings) {
        finding.key = join_path(path, finding.key);
        if (const Spot* spot = map_.find(finding.key)) finding.place = map_.place(*spot);
        findings_.push_back(std::move(finding));
    }
}

const TreeNode::Table* PartReader::table_of(const TreeNode& node, const std::string& path,
                                            std::string_view noun) {
    if (node.broken()) return nullptr;
    map_.note(path, node.spot);
    const TreeNode::Table* table = node.table();
    if (table == nullptr) {
        values_.refuse(node.spot, path, in_words(node), fmt::format("{} as a table", noun));
    }
    return table;
}

void PartReader::refuse_unknown(const TreeNode::Table& table, const std::string& path,
                                std::string_view noun, const std::vector<std::string>& known) {
    for (const TreeEntry& entry : table) {
        if (std::ranges::find(known, entry.key) != known.end()) continue;
        std::string mend = key_hint(entry.key, known);
        if (mend.empty() && known.size() <= most_listed) {
            mend = fmt::format("There are: {}.", fmt::join(known, ", "));
        }
        std::string name = quote(entry.key);
        const std::string shown = name.substr(1, name.size() - 2);
        values_.refuse(entry.spot, join_path(path, shown), fmt::format("the unknown key {}", name),
                       fmt::format("a key of {}", noun), mend);
    }
}

void PartReader::refuse_missing(const Spot& spot, const std::string& path, std::string_view meaning,
                                const std::string& example) {
    Place place = map_.place(spot);
    place.quote.clear();  // the line where the table begins says nothing about what is not there
    findings_.push_back({place, path, "no such key", example, fmt::format("Add it: {}.", meaning)});
}

void PartReader::note(const std::string& path, const TreeNode& node) {
    map_.note(path, node.spot);
    if (node.text() != nullptr) written_[path] = *node.text();
    switch (node.origin) {
        case TreeNode::Origin::file:
            provenance_[path] = map_.where(node.spot);
            break;
        case TreeNode::Origin::change:
            provenance_[path] = "[change] " + map_.where(node.spot);
            break;
        case TreeNode::Origin::set:
            provenance_[path] = "--set";
            break;
    }
}

const TreeNode::Array* PartReader::list_of(const TreeNode& node, const std::string& path,
                                           const Range& range) {
    const TreeNode::Array* array = node.array();
    if (array == nullptr) {
        values_.refuse(node.spot, path, in_words(node), "a list in square brackets");
        return nullptr;
    }
    const auto least = static_cast<std::size_t>(range.least);
    const std::size_t most = range.most > 0 ? static_cast<std::size_t>(range.most) : longest_list;
    if (array->size() < least || array->size() > most) {
        values_.refuse(node.spot, path, in_words(node),
                       fmt::format("a list of {} to {} entries", least, most));
        return nullptr;
    }
    return array;
}

}  // namespace damper
