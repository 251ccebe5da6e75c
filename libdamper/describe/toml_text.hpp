// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace damper {

/// Text as a TOML basic string with its quotation marks (TOML 1.0.0, section "String"): control
/// characters are escaped, bytes that are not UTF-8 become U+FFFD, so that every text can be read
/// back.
[[nodiscard]] std::string toml_text(std::string_view text);

/// A text as a key: bare where TOML 1.0.0, section "Keys", lets it, else in quotation marks.
[[nodiscard]] std::string toml_key(std::string_view text);

}  // namespace damper
