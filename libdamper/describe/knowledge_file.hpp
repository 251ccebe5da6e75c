// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read_part.hpp"
#include "libdamper/diagnosis/knowledge.hpp"

#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A file of what is known of complaints, or a complaint: its tree, with what is needed to read it
/// and to say what is wrong in it.
class KnowledgeFile {
  public:
    /// Throws InputError if it cannot be read as TOML.
    KnowledgeFile(const std::filesystem::path& file, const PartSchema& schema);

    [[nodiscard]] const TreeNode& root() const { return root_; }
    [[nodiscard]] PartReader& reader() { return reader_; }
    /// Throws InputError with every finding, if there is one.
    void stop_if_wrong();
    /// The value of a key of a table; null if it is not there.
    [[nodiscard]] static const TreeNode* find(const TreeNode& node, const char* key);
    void refuse(const Spot& spot, const std::string& path, std::string found, std::string expected,
                std::string mend = "");
    /// Says how to mend what was found at a key.
    void mend(std::string_view key, const std::string& how);
    /// False, with a finding, unless `word` is one of `known`.
    bool require_word(const std::string& word, const std::vector<std::string>& known,
                      const char* noun, const Spot& spot, const std::string& path);
    /// Key and text of every entry of a table; numbers are taken as they are written.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> texts(const TreeNode* node,
                                                                         const std::string& path,
                                                                         const char* noun);
    /// Texts of a list, each one of `known`; empty if `node` is null.
    [[nodiscard]] std::vector<std::string> words(const TreeNode* node,
                                                 const std::vector<std::string>& known,
                                                 const char* noun, const std::string& path);
    [[nodiscard]] std::vector<Weighted> weights(const TreeNode* node, const std::string& path,
                                                const char* noun);

  private:
    SourceMap map_;
    std::vector<Finding> findings_;
    PartFiles files_;
    TreeNode root_;
    std::map<std::string, std::string> provenance_, written_;
    PartReader reader_;
};

/// Names of all questions, and of the choices of one.
[[nodiscard]] std::vector<std::string> names_of(const QuestionList& questions);
[[nodiscard]] std::vector<std::string> choices_of(const Question& question);

}  // namespace damper
