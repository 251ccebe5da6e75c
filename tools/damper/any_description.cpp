// SPDX-License-Identifier: MIT
#include "tools/damper/any_description.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"

#include "tools/damper/locate.hpp"

#include <algorithm>
#include <cstddef>
#include <fmt/format.h>
#include <string_view>
#include <system_error>
#include <variant>

namespace damper::command {

namespace {

constexpr std::size_t largest_file = std::size_t{1} << 20U;  // [bytes]

/// First name of a line of TOML, be it a key or a table: "stages" of "[[stages]]".
std::string_view first_name(std::string_view line) {
    const std::size_t start = line.find_first_not_of(" \t[\"'");
    if (start == std::string_view::npos) return {};
    line.remove_prefix(start);
    return line.substr(0, line.find_first_of(" \t=.]\"'\r#"));
}

}  // namespace

DescriptionKind kind_of(const std::filesystem::path& file) {
    const auto bytes = file_bytes(file, largest_file);
    if (const auto* none = std::get_if<NoBytes>(&bytes)) {
        throw InputError(fmt::format("{}: {}", file.string(), none->why));
    }
    const std::string_view text = std::get<std::string>(bytes);

    DescriptionKind kind = DescriptionKind::vehicle;
    for (std::size_t start = 0; start < text.size();) {
        const std::size_t end = std::min(text.find('\n', start), text.size());
        const std::string_view name = first_name(text.substr(start, end - start));
        if (name == "manoeuvre" || name == "vehicle") return DescriptionKind::scenario;
        if (name == "stages") kind = DescriptionKind::disc;
        start = end + 1;
    }
    return kind;
}

std::filesystem::path locate_any(const std::string& word, const std::filesystem::path& models) {
    for (const char* kind : {"scenarios", "vehicles", "discs"}) {
        std::filesystem::path found = locate(word, kind, models);
        std::error_code ignored;
        if (std::filesystem::exists(found, ignored)) return found;
    }
    return word;
}

NamedDisc read_disc_of(const std::string& word, const ReadOptions& options) {
    const std::filesystem::path file = locate_any(word, options.models);
    const std::string name = file.stem().string();
    switch (kind_of(file)) {
        case DescriptionKind::scenario:
            return {name, read_scenario(file, options).vehicle.disc};
        case DescriptionKind::vehicle:
            return {name, read_vehicle(file, options).disc};
        case DescriptionKind::disc:
            break;
    }
    return {name, read_disc(file, options)};
}

}  // namespace damper::command
