// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

namespace damper {

/// Text from a file as content or as a quoted attribute of an HTML page: visible_text with
/// & < > " ' ` = written as character references.
[[nodiscard]] std::string html_escape(std::string_view text);

}  // namespace damper
