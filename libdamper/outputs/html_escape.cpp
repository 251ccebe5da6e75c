// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_escape.hpp"

#include "libdamper/outputs/visible_text.hpp"

namespace damper {

std::string html_escape(std::string_view text) {
    std::string out;
    for (const char c : visible_text(text)) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            case '\'':
                out += "&#39;";
                break;
            case '`':
                out += "&#96;";
                break;
            case '=':
                out += "&#61;";
                break;
            default:
                out.push_back(c);
        }
    }
    return out;
}

}  // namespace damper
