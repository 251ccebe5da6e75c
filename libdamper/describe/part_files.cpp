// SPDX-License-Identifier: MIT
#include "libdamper/describe/part_files.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/parse_toml.hpp"
#include "libdamper/describe/text_checks.hpp"
#include "libdamper/parts/vehicle_fields.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <span>
#include <system_error>

namespace damper {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t deepest = 8;
constexpr int most_files = 64;
constexpr std::size_t longest_name = 255;

std::string shown(const fs::path& path) {
    return path.lexically_normal().generic_string();
}

bool is_name(const std::string& text) {
    return !text.empty() && std::ranges::all_of(text, [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
               c == '_' || c == '-';
    });
}

bool has_control(const std::string& text) {
    return std::ranges::any_of(
        text, [](char c) { return static_cast<unsigned char>(c) < 0x20U || c == 0x7F; });
}

bool below(const fs::path& file, const fs::path& folder) {
    const auto [at_folder, at_file] =
        std::mismatch(folder.begin(), folder.end(), file.begin(), file.end());
    return at_folder == folder.end() && at_file != file.end();
}

std::vector<std::string> names_in(const fs::path& folder) {
    std::vector<std::string> names;
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        if (entry->path().extension() == ".toml") names.push_back(entry->path().stem().string());
    }
    std::ranges::sort(names);
    return names;
}

std::string name_hint(const std::string& name, const std::vector<std::string>& names) {
    const std::string near = nearest_word(name, names);
    if (!near.empty()) return fmt::format("Did you mean \"{}\"?", near);
    constexpr std::size_t most_listed = 12;
    if (names.empty() || names.size() > most_listed) return "";
    return fmt::format("There are: {}.", fmt::join(names, ", "));
}

}  // namespace

PartFiles::PartFiles(fs::path models, SourceMap& map, std::vector<Finding>& findings)
    : models_(std::move(models)), map_(map), findings_(findings) {}

PartFiles::Located PartFiles::inside(const fs::path& file, const std::string& text,
                                     const fs::path& folder) const {
    std::error_code error;
    const fs::path real = fs::canonical(file, error);
    if (error) {
        return Refusal{fmt::format("{}, but there is no file {}", quote(text), shown(file)),
                       "the name of a part in the models folder, or a path from this file", ""};
    }
    for (const fs::path& root : {models_, folder.empty() ? fs::path(".") : folder}) {
        const fs::path real_root = fs::canonical(root, error);
        if (!error && below(real, real_root)) return real;
    }
    return Refusal{fmt::format("{}, which leads to a file elsewhere", quote(text)),
                   "a file inside the models folder or the folder of the file that names it",
                   "Copy the part there."};
}

PartFiles::Located PartFiles::locate_by_name(const std::string& name,
                                             const PartSchema& schema) const {
    const fs::path folder = models_ / schema.folder;
    const fs::path file = folder / (name + ".toml");
    std::error_code error;
    if (!fs::exists(file, error)) {
        return Refusal{fmt::format("{}, but there is no file {}", quote(name), shown(file)),
                       fmt::format("the name of {}", schema.noun),
                       name_hint(name, names_in(folder))};
    }
    Located real = inside(file, name, folder);
    if (std::holds_alternative<Refusal>(real)) return real;
    return file.lexically_normal();
}

PartFiles::Located PartFiles::locate(const std::string& text, const PartSchema& schema,
                                     const fs::path& folder) const {
    const std::string expected =
        fmt::format("{} by name, by path from this file, or in place", schema.noun);
    if (text.empty() || has_control(text) || text.size() > longest_name) {
        return Refusal{quote(text), expected, ""};
    }
    const fs::path path(text);
    if (text.find('/') == std::string::npos && path.extension() != ".toml") {
        if (is_name(text)) return locate_by_name(text, schema);
        return Refusal{quote(text), expected,
                       "A name has letters, digits, '_' and '-'; a path ends in .toml."};
    }
    const bool climbs = std::ranges::find(path, fs::path("..")) != path.end();
    if (path.is_absolute() || climbs) {
        return Refusal{quote(text), "a path inside the models folder or the folder of this file",
                       climbs ? "Leave out \"..\": parts of the models folder go by name."
                              : "Absolute paths are refused: parts of the models folder go by "
                                "name."};
    }
    const fs::path file = folder / path;
    Located real = inside(file, text, folder);
    if (std::holds_alternative<Refusal>(real)) return real;
    return file.lexically_normal();
}

TreeNode PartFiles::parse(const fs::path& file, const std::string& bytes) {
    const std::string name = shown(file);
    const std::size_t source = map_.add(name, bytes);
    const auto entry = std::pair(name, sha256_hex(std::string_view(bytes)));
    if (std::ranges::find(inputs_, entry) == inputs_.end()) inputs_.push_back(entry);
    auto parsed = parse_toml(bytes, source, map_);
    if (auto* finding = std::get_if<Finding>(&parsed)) {
        findings_.push_back(std::move(*finding));
        return {Broken{}, {source, 0, 0}, TreeNode::Origin::file};
    }
    return std::move(std::get<TreeNode>(parsed));
}

TreeNode PartFiles::read_first(const fs::path& file, const PartSchema& schema) {
    auto bytes = file_bytes(file, largest_description);
    if (const auto* none = std::get_if<NoBytes>(&bytes)) {
        findings_.push_back({{shown(file), 0, 0, ""},
                             "",
                             none->why,
                             fmt::format("a file that describes {}", schema.noun),
                             ""});
        return {Broken{}, {map_.add(shown(file), ""), 0, 0}, TreeNode::Origin::file};
    }
    std::error_code error;
    open_.assign(1, fs::canonical(file, error));
    TreeNode node = parse(file, std::get<std::string>(bytes));
    resolve(node, schema, "", file.parent_path());
    return node;
}

void PartFiles::resolve(TreeNode& node, const PartSchema& schema, const std::string& path,
                        const fs::path& folder) {
    if (node.text() != nullptr && !schema.folder.empty())
        return include(node, schema, path, folder);
    TreeNode::Table* table = node.table();
    if (table == nullptr) return;
    const std::string inside = &schema == &schema_of<Vehicle>() ? "" : path;
    for (TreeEntry& entry : *table) {
        const SchemaKey* key = schema.find(entry.key);
        if (key == nullptr || key->kind != SchemaKey::Kind::part) continue;
        resolve(entry.node, *key->child, join_path(inside, entry.key), folder);
    }
}

void PartFiles::include(TreeNode& node, const PartSchema& schema, const std::string& path,
                        const fs::path& folder) {
    const auto refuse = [&](const Refusal& refusal) {
        findings_.push_back(
            {map_.place(node.spot), path, refusal.found, refusal.expected, refusal.mend});
        node.value = Broken{};
    };
    const std::string text = *node.text();
    const Located located = locate(text, schema, folder);
    if (const auto* refusal = std::get_if<Refusal>(&located)) return refuse(*refusal);
    const auto& file = std::get<fs::path>(located);
    std::error_code error;
    const fs::path real = fs::canonical(file, error);
    if (std::ranges::find(open_, real) != open_.end()) {
        return refuse({fmt::format("{}, which includes itself in a circle", quote(text)),
                       "a file that is not being read already", ""});
    }
    if (open_.size() >= deepest || files_read_ >= most_files) {
        return refuse(
            {quote(text), fmt::format("at most {} files, {} deep", most_files, deepest), ""});
    }
    ++files_read_;
    auto bytes = file_bytes(real, largest_description);
    if (const auto* none = std::get_if<NoBytes>(&bytes)) {
        return refuse({fmt::format("{}, but {} is {}", quote(text), shown(file), none->why),
                       fmt::format("a file that describes {}", schema.noun), ""});
    }
    map_.note(path, node.spot);
    open_.push_back(real);
    node = parse(file, std::get<std::string>(bytes));
    if (node.broken()) findings_.back().key = path;
    resolve(node, schema, path, file.parent_path());
    open_.pop_back();
}

}  // namespace damper
