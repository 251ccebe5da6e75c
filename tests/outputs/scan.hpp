// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// All pieces of a text that stand between an opening and the next closing mark.
inline std::vector<std::string> between(std::string_view text, std::string_view open,
                                        std::string_view close) {
    std::vector<std::string> out;
    for (std::size_t at = text.find(open); at != std::string_view::npos; at = text.find(open, at)) {
        at += open.size();
        const std::size_t end = text.find(close, at);
        if (end == std::string_view::npos) break;
        out.emplace_back(text.substr(at, end - at));
        at = end;
    }
    return out;
}

}  // namespace damper
