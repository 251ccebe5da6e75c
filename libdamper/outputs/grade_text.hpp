// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/verdict/verdict.hpp"

#include <string>
#include <string_view>

namespace damper {

/// "good", "watch", "bad": the word in files.
[[nodiscard]] std::string_view grade_key(Grade grade);

/// "Good", "Watch", "Bad": the word for people.
[[nodiscard]] std::string_view grade_word(Grade grade);

/// What the word means, as a sentence.
[[nodiscard]] std::string_view grade_meaning(Grade grade);

/// A shape of its own for each grade, on one line of text: ● ▲ ■.
[[nodiscard]] std::string_view grade_shape(Grade grade);

/// The limit in words, in the units shown: "good up to 0.5, bad above 1 rad/s²".
[[nodiscard]] std::string limit_text(const Judgement& judgement);

/// The margin in words: "12 % in hand", "30 % beyond"; "–" if it is not a number.
[[nodiscard]] std::string margin_text(double margin);

/// Largest figure of a judgement or band: sets the scale of its units.
[[nodiscard]] double magnitude(const Judgement& judgement);
[[nodiscard]] double magnitude(const BandResult& band);

}  // namespace damper
