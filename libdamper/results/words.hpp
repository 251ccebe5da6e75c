// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/h5_handle.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <array>
#include <string>
#include <utility>

namespace damper {

/// How choices are spelled in the file.
inline constexpr std::array grade_words{
    std::pair{Grade::good, "good"}, std::pair{Grade::watch, "watch"}, std::pair{Grade::bad, "bad"}};
inline constexpr std::array better_words{std::pair{Better::less, "less"},
                                         std::pair{Better::more, "more"},
                                         std::pair{Better::neither, "neither"}};

constexpr const auto& words_of(Grade) {
    return grade_words;
}
constexpr const auto& words_of(Better) {
    return better_words;
}

template <class Choice>
std::string to_word(Choice choice) {
    for (const auto& [known, word] : words_of(choice)) {
        if (known == choice) return word;
    }
    throw H5Failure("a choice has no word");
}

/// Throws H5Failure if the word is none of the choice.
template <class Choice>
Choice from_word(const std::string& text) {
    for (const auto& [known, word] : words_of(Choice{})) {
        if (text == word) return known;
    }
    throw H5Failure("\"" + text + "\" is not a word that stands here");
}

}  // namespace damper
