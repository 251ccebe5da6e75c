// SPDX-License-Identifier: MIT
#include "tools/bench/engine/shelves.hpp"

#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/parse_toml.hpp"
#include "libdamper/describe/text_checks.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <string>
#include <string_view>
#include <system_error>
#include <variant>
#include <vector>

namespace damper::bench {

namespace {

namespace fs = std::filesystem;

/// The text at a key, or at the key `inner` of the table there; empty if there is none.
std::string text_at(const TreeNode& root, std::string_view key, std::string_view inner = "") {
    const TreeEntry* entry = find_entry(*root.table(), key);
    if (entry != nullptr && !inner.empty() && entry->node.table() != nullptr) {
        return text_at(entry->node, inner);
    }
    return entry != nullptr && entry->node.text() != nullptr ? *entry->node.text() : std::string();
}

struct Shelf {
    const char* kind;
    const char* folder;
    struct Detail {
        const char* name;
        const char* key;
        const char* inner;
    };
    std::vector<Detail> details;
};

const std::array<Shelf, 4>& all_shelves() {
    static const std::array<Shelf, 4> all{
        {{"vehicles", "models/vehicles", {{"class", "class", ""}}},
         {"discs", "models/discs", {}},
         {"causes",
          "models/causes",
          {{"complaint", "complaint", ""}, {"seat", "seat", ""}}},
         {"scenarios",
          "scenarios",
          {{"vehicle", "vehicle", ""}, {"kind", "manoeuvre", "kind"}}}}};
    return all;
}

}  // namespace

nlohmann::ordered_json shelves() {
    nlohmann::ordered_json out;
    for (const Shelf& shelf : all_shelves()) {
        std::vector<fs::path> files;
        std::error_code error;
        for (fs::directory_iterator entry(shelf.folder, error), end; !error && entry != end;
             entry.increment(error)) {
            if (entry->path().extension() == ".toml") files.push_back(entry->path());
        }
        std::sort(files.begin(), files.end());
        out[shelf.kind] = nlohmann::ordered_json::array();
        for (const fs::path& file : files) {
            const auto bytes = file_bytes(file, largest_description);
            const auto* text = std::get_if<std::string>(&bytes);
            if (text == nullptr) continue;
            SourceMap map;
            const auto parsed = parse_toml(*text, map.add(file.string(), *text), map);
            const auto* root = std::get_if<TreeNode>(&parsed);
            if (root == nullptr) continue;
            nlohmann::ordered_json one{{"name", file.stem().string()},
                                       {"title", text_at(*root, "title")}};
            for (const auto& detail : shelf.details) {
                one[detail.name] = text_at(*root, detail.key, detail.inner);
            }
            out[shelf.kind].push_back(std::move(one));
        }
    }
    return out;
}

}  // namespace damper::bench
