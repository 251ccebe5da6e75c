// SPDX-License-Identifier: MIT
#include "tools/damper/built_in.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/parse_toml.hpp"
#include "libdamper/describe/text_checks.hpp"

#include <algorithm>
#include <string_view>
#include <system_error>
#include <variant>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

std::string text_at(const TreeNode& root, std::string_view key) {
    const TreeEntry* entry = find_entry(*root.table(), key);
    const bool is_text = entry != nullptr && entry->node.text() != nullptr;
    return is_text ? *entry->node.text() : std::string();
}

/// A list must not fail because one file in it cannot be read: that file stays without a title.
BuiltIn described(const std::string& name, const fs::path& file, std::string_view detail) {
    BuiltIn found{name, "", ""};
    try {
        const auto bytes = file_bytes(file, largest_description);
        const auto* text = std::get_if<std::string>(&bytes);
        if (text == nullptr) return found;
        SourceMap map;
        const auto parsed = parse_toml(*text, map.add(file.string(), *text), map);
        if (const auto* root = std::get_if<TreeNode>(&parsed)) {
            found.title = text_at(*root, "title");
            if (!detail.empty()) found.detail = text_at(*root, detail);
        }
    } catch (const FileError&) {
        found.title.clear();
    }
    return found;
}

}  // namespace

fs::path folder_of(const std::string& kind, const fs::path& models) {
    return kind.starts_with("scenarios") ? models.parent_path() / kind : models / kind;
}

std::vector<std::string> names_in(const fs::path& folder) {
    std::vector<std::string> names;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        if (entry->path().extension() == ".toml") names.push_back(entry->path().stem().string());
    }
    std::sort(names.begin(), names.end());
    return names;
}

std::vector<BuiltIn> built_in(const std::string& kind, const fs::path& models) {
    std::vector<BuiltIn> all;
    if (models.empty()) return all;
    const fs::path folder = folder_of(kind, models);
    const char* detail = kind == "scenarios"           ? "vehicle"
                         : kind == "vehicles"          ? "class"
                         : kind == "scenarios/studies" ? "study"
                                                       : "";
    for (const std::string& name : names_in(folder)) {
        all.push_back(described(name, folder / (name + ".toml"), detail));
    }
    return all;
}

}  // namespace damper::command
