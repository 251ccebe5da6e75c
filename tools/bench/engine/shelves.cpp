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
using Json = nlohmann::ordered_json;

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
         {"causes", "models/causes", {{"complaint", "complaint", ""}, {"seat", "seat", ""}}},
         {"scenarios", "scenarios", {{"vehicle", "vehicle", ""}, {"kind", "manoeuvre", "kind"}}}}};
    return all;
}

/// Calls visit(name, description) for each description in a folder, by name.
template <class Visit>
void for_each_description(const char* folder, Visit&& visit) {
    std::vector<fs::path> files;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        if (entry->path().extension() == ".toml") files.push_back(entry->path());
    }
    std::sort(files.begin(), files.end());
    for (const fs::path& file : files) {
        const auto bytes = file_bytes(file, largest_description);
        const auto* text = std::get_if<std::string>(&bytes);
        if (text == nullptr) continue;
        SourceMap map;
        const auto parsed = parse_toml(*text, map.add(file.string(), *text), map);
        if (const auto* root = std::get_if<TreeNode>(&parsed)) visit(file.stem().string(), *root);
    }
}

/// Texts of a list; none if it is no list.
std::vector<std::string> texts_of(const TreeNode& root, std::string_view key) {
    std::vector<std::string> out;
    const TreeEntry* entry = find_entry(*root.table(), key);
    if (entry == nullptr || entry->node.array() == nullptr) return out;
    for (const TreeNode& one : *entry->node.array()) {
        if (one.text() != nullptr) out.push_back(*one.text());
    }
    return out;
}

/// Tables of a list, each with the texts at some keys and, at `inner`, a list of its own.
Json tables_of(const TreeNode& root, std::string_view key, const std::vector<const char*>& texts,
               const char* inner = nullptr) {
    Json out = Json::array();
    const TreeEntry* entry = find_entry(*root.table(), key);
    if (entry == nullptr || entry->node.array() == nullptr) return out;
    for (const TreeNode& one : *entry->node.array()) {
        if (one.table() == nullptr) continue;
        Json made;
        for (const char* name : texts) made[name] = text_at(one, name);
        if (inner != nullptr) made[inner] = tables_of(one, inner, {"name", "says"});
        out.push_back(std::move(made));
    }
    return out;
}

Json complaints() {
    Json out{{"questions", Json::array()}, {"symptoms", Json::array()}};
    for_each_description("models/complaints", [&](const std::string& name, const TreeNode& root) {
        if (name == "questions") {
            out["questions"] =
                tables_of(root, "questions", {"name", "asks", "how", "caution"}, "choices");
        } else {
            out["symptoms"].push_back({{"symptom", text_at(root, "symptom")},
                                       {"title", text_at(root, "title")},
                                       {"words", text_at(root, "words")},
                                       {"questions", texts_of(root, "questions")}});
        }
    });
    return out;
}

}  // namespace

Json shelves() {
    Json out;
    for (const Shelf& shelf : all_shelves()) {
        Json list = Json::array();
        for_each_description(shelf.folder, [&](const std::string& name, const TreeNode& root) {
            Json one{{"name", name}, {"title", text_at(root, "title")}};
            for (const auto& detail : shelf.details) {
                one[detail.name] = text_at(root, detail.key, detail.inner);
            }
            list.push_back(std::move(one));
        });
        out[shelf.kind] = std::move(list);
    }
    out["complaints"] = complaints();
    return out;
}

}  // namespace damper::bench
