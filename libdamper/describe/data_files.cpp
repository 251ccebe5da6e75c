// SPDX-License-Identifier: MIT
#include "libdamper/describe/data_files.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <string_view>
#include <system_error>

namespace damper {

namespace fs = std::filesystem;

namespace {

constexpr std::string_view from_command_line = "--set";

bool below(const fs::path& file, const fs::path& folder) {
    return std::mismatch(folder.begin(), folder.end(), file.begin(), file.end()).first ==
           folder.end();
}

}  // namespace

fs::path DataFiles::locate(const std::string& text, const Place& place,
                           std::string& expected) const {
    std::error_code error;
    const fs::path path(text);
    if (place.file == from_command_line && fs::exists(path, error)) return path;
    if (path.is_absolute() || std::ranges::find(path, fs::path("..")) != path.end()) {
        expected = place.file == from_command_line
                       ? "a file that there is"
                       : "a path beside the description, or the name of a recording of the models "
                         "folder";
        return {};
    }
    fs::path own = fs::path(place.file).parent_path();
    if (own.empty()) own = ".";
    const fs::path recordings = models_ / "recordings";
    for (const fs::path& folder : std::array{own, recordings}) {
        const fs::path real = fs::canonical(folder / path, error);
        if (error) continue;
        const fs::path root = fs::canonical(folder, error);
        if (!error && below(real, root)) return (folder / path).lexically_normal();
        expected = "a file inside the folder of the description or the models folder";
        return {};
    }
    expected =
        fmt::format("a file in {} or in {}", own.generic_string(), recordings.generic_string());
    return {};
}

void DataFiles::add(const std::vector<Finding>& findings, const std::string& path) {
    for (Finding finding : findings) {
        finding.key = path + "." + finding.key;
        if (const Spot* spot = map_.find(finding.key)) finding.place = map_.place(*spot);
        findings_.push_back(std::move(finding));
    }
}

std::optional<MeasuredTable> DataFiles::read(const std::string& key, const std::string& text,
                                             const TableRequest& request) {
    const Spot* spot = map_.find(key);
    const Place place = spot != nullptr ? map_.place(*spot) : Place{};
    std::string expected;
    const fs::path file = locate(text, place, expected);
    if (file.empty()) {
        findings_.push_back({place, key, fmt::format("\"{}\"", text), expected, ""});
        return {};
    }
    try {
        MeasuredTable table = read_measured_table(file, request);
        inputs_.emplace_back(table.file, table.sha256);
        return table;
    } catch (const InputError& error) {
        findings_.insert(findings_.end(), error.findings().begin(), error.findings().end());
        if (error.findings().empty()) findings_.push_back({place, key, error.what(), "", ""});
        return {};
    }
}

}  // namespace damper
