// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/verdict/verdict.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

// Parts of a verdict for a terminal, each with a blank line before it or empty.

inline constexpr std::size_t text_width = 100;  ///< Columns of a terminal that are used.

/// A heading with a list of sentences.
[[nodiscard]] std::string list_text(std::string_view heading,
                                    const std::vector<std::string>& sentences);

/// The table of what was judged, with a numbered list of whose limits they are.
[[nodiscard]] std::string judgements_text(const Verdict& verdict);

/// "● Good: the sentence."
[[nodiscard]] std::string headline_text(const Verdict& verdict);

/// Sources can be long: tables point at a numbered list below them.
class NumberedSources {
  public:
    /// "[1]"
    [[nodiscard]] std::string point_at(const std::string& source);
    [[nodiscard]] std::string list() const;

  private:
    std::vector<std::string> sources_;
};

}  // namespace damper
