// SPDX-License-Identifier: MIT
#include "libdamper/describe/knowledge_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

KnowledgeFile::KnowledgeFile(const std::filesystem::path& file, const PartSchema& schema)
    : files_({}, map_, findings_),
      root_(files_.read_first(file, schema)),
      reader_(map_, findings_, provenance_, written_) {
    stop_if_wrong();
}

void KnowledgeFile::stop_if_wrong() {
    if (root_.broken() || !findings_.empty()) throw InputError(std::move(findings_));
}

const TreeNode* KnowledgeFile::find(const TreeNode& node, const char* key) {
    const TreeEntry* entry = node.table() != nullptr ? find_entry(*node.table(), key) : nullptr;
    return entry != nullptr ? &entry->node : nullptr;
}

void KnowledgeFile::refuse(const Spot& spot, const std::string& path, std::string found,
                           std::string expected, std::string mend) {
    reader_.values().refuse(spot, path, std::move(found), std::move(expected), std::move(mend));
}

void KnowledgeFile::mend(std::string_view key, const std::string& how) {
    for (Finding& one : findings_) {
        if (one.key == key) one.mend = how;
    }
}

bool KnowledgeFile::require_word(const std::string& word, const std::vector<std::string>& known,
                                 const char* noun, const Spot& spot, const std::string& path) {
    if (std::ranges::find(known, word) != known.end()) return true;
    const std::string near = nearest_word(word, known);
    refuse(spot, path, fmt::format("the unknown {} {}", noun, quote(word)),
           fmt::format("a known {}", noun),
           near.empty() ? fmt::format("There are: {}.", fmt::join(known, ", "))
                        : fmt::format("Did you mean \"{}\"?", near));
    return false;
}

std::vector<std::pair<std::string, std::string>> KnowledgeFile::texts(const TreeNode* node,
                                                                      const std::string& path,
                                                                      const char* noun) {
    std::vector<std::pair<std::string, std::string>> out;
    if (node == nullptr) return out;
    const TreeNode::Table* table = reader_.table_of(*node, path, noun);
    if (table == nullptr) return out;
    for (const TreeEntry& entry : *table) {
        if (entry.node.table() != nullptr) {
            refuse(entry.spot, join_path(path, entry.key), "a table", "a text",
                   "Put keys with points in quotation marks.");
            continue;
        }
        out.emplace_back(entry.key, as_written(entry.node));
    }
    return out;
}

std::vector<std::string> KnowledgeFile::words(const TreeNode* node,
                                              const std::vector<std::string>& known,
                                              const char* noun, const std::string& path) {
    std::vector<std::string> out;
    if (node == nullptr) return out;
    const std::string expected =
        fmt::format("a list of names in quotation marks, of: {}", fmt::join(known, ", "));
    if (node->array() == nullptr) {
        refuse(node->spot, path, in_words(*node), expected);
        return out;
    }
    for (const TreeNode& one : *node->array()) {
        const std::string* word = one.text();
        if (word == nullptr) {
            refuse(one.spot, path, in_words(one), expected);
        } else if (require_word(*word, known, noun, one.spot, path)) {
            out.push_back(*word);
        }
    }
    return out;
}

std::vector<Weighted> KnowledgeFile::weights(const TreeNode* node, const std::string& path,
                                             const char* noun) {
    std::vector<Weighted> out;
    if (node == nullptr) return out;
    const TreeNode::Table* table = reader_.table_of(*node, path, noun);
    if (table == nullptr) return out;
    for (const TreeEntry& entry : *table) {
        const auto weight = reader_.values().quantity(entry.node, join_path(path, entry.key), {},
                                                      within("0", "1000"));
        if (weight) out.emplace_back(entry.key, *weight);
    }
    return out;
}

std::vector<std::string> names_of(const QuestionList& questions) {
    std::vector<std::string> out;
    for (const Question& one : questions.questions) out.push_back(one.name);
    return out;
}

std::vector<std::string> choices_of(const Question& question) {
    std::vector<std::string> out;
    for (const Choice& one : question.choices) out.push_back(one.name);
    return out;
}

}  // namespace damper
