// SPDX-License-Identifier: MIT
#include "libdamper/base/finding.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <tuple>

namespace damper {

namespace {
constexpr std::size_t shown_at_most = 20;
}

std::string to_text(const Finding& finding) {
    std::string text;
    const Place& place = finding.place;
    if (!place.file.empty()) text += place.file + ":";
    if (place.line > 0) text += fmt::format("{}:{}:", place.line, place.column);
    if (!text.empty()) text += " ";
    if (!finding.key.empty()) text += finding.key + ": ";
    text += "found " + finding.found + "; expected " + finding.expected;
    if (!place.quote.empty() && place.line > 0) {
        const std::string margin = fmt::format("{:>6} | ", place.line);
        text += "\n" + margin + place.quote;
        const auto caret = static_cast<std::size_t>(std::max(place.column - 1, 0));
        text += fmt::format("\n{:{}}| {:{}}^", "", margin.size() - 2, "", caret);
    }
    if (!finding.mend.empty()) text += "\n    To mend: " + finding.mend;
    return text;
}

std::string to_text(std::vector<Finding> findings) {
    std::stable_sort(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
        return std::tie(a.place.file, a.place.line, a.place.column) <
               std::tie(b.place.file, b.place.line, b.place.column);
    });
    std::string text;
    for (std::size_t i = 0; i < std::min(findings.size(), shown_at_most); ++i) {
        if (i > 0) text += "\n";
        text += to_text(findings[i]);
    }
    if (findings.size() > shown_at_most) {
        text += fmt::format("\n… and {} more.", findings.size() - shown_at_most);
    }
    return text;
}

}  // namespace damper
