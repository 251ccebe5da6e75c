// SPDX-License-Identifier: MIT
#pragma once

#include <string>

namespace damper::testing {

/// Whether `part` stands in `text`.
inline bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace damper::testing
