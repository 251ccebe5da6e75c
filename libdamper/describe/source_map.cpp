// SPDX-License-Identifier: MIT
#include "libdamper/describe/source_map.hpp"

#include <fmt/format.h>
#include <utility>

namespace damper {

namespace {
constexpr std::size_t longest_quote = 160;  // bytes of a line shown under a message
}

std::size_t SourceMap::add(std::string name, std::string_view text) {
    Source source{std::move(name), {}};
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        source.lines.emplace_back(line);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    }
    sources_.push_back(std::move(source));
    return sources_.size() - 1;
}

const std::string& SourceMap::name(std::size_t source) const {
    return sources_.at(source).name;
}

Place SourceMap::place(const Spot& spot) const {
    const Source& source = sources_.at(spot.source);
    Place place{source.name, spot.line, spot.column, ""};
    const auto index = static_cast<std::size_t>(spot.line);
    if (spot.line > 0 && index <= source.lines.size()) {
        const std::string& line = source.lines[index - 1];
        if (line.size() <= longest_quote) {
            for (const char c : line) {
                const bool control = static_cast<unsigned char>(c) < 0x20U || c == 0x7F;
                place.quote += control ? ' ' : c;  // one column each, as the caret counts
            }
        }
    }
    return place;
}

std::string SourceMap::where(const Spot& spot) const {
    const std::string& file = name(spot.source);
    return spot.line > 0 ? fmt::format("{}:{}", file, spot.line) : file;
}

void SourceMap::note(const std::string& key_path, const Spot& spot) {
    spots_[key_path] = spot;
}

const Spot* SourceMap::find(std::string key_path) const {
    while (true) {
        const auto found = spots_.find(key_path);
        if (found != spots_.end()) return &found->second;
        const std::size_t cut = key_path.find_last_of(".[");
        if (cut == std::string::npos) {
            const auto root = spots_.find("");
            return root != spots_.end() ? &root->second : nullptr;
        }
        key_path.resize(cut);
    }
}

}  // namespace damper
