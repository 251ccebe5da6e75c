// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/verdict/verdict.hpp"

#include <span>
#include <vector>

namespace damper {

/// A judgement as far as the ranking of discs looks at it.
struct Standing {
    Grade grade = Grade::good;
    double margin = 0.0;  ///< As in Judgement; not a number counts as the worst.
};

[[nodiscard]] Standing standing_of(const Judgement& judgement);

/// A limit missed is worse than any margin in hand; of one grade the smaller margin is worse.
[[nodiscard]] bool worse(const Standing& a, const Standing& b);

/// Whether the worst of one is better than that of the other, or if they are alike (margins in
/// hundredths, a convention of this tool) the next worst, and so on. Both sorted worst first. If
/// all are alike, more of them are better: more was asked.
[[nodiscard]] bool better(std::span<const Standing> a, std::span<const Standing> b);

}  // namespace damper
