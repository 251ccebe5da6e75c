// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

namespace damper {

/// A file that was built into the library.
struct EmbeddedFile {
    std::string_view text;
    std::string_view sha256;  ///< Of the text, 64 hexadecimal digits.
};

// Our own script and style of the page.
[[nodiscard]] EmbeddedFile page_script();
[[nodiscard]] EmbeddedFile page_style();
[[nodiscard]] EmbeddedFile modes_style();  ///< What the page of natural modes needs besides.

// The chart library uPlot, its licence (MIT) and version.
[[nodiscard]] EmbeddedFile chart_script();
[[nodiscard]] EmbeddedFile chart_style();
[[nodiscard]] EmbeddedFile chart_licence();
[[nodiscard]] EmbeddedFile chart_version();

}  // namespace damper
