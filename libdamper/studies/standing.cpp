// SPDX-License-Identifier: MIT
#include "libdamper/studies/standing.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace damper {

namespace {

/// Margins that differ by less are the same to a workshop: the next worst then decides. A
/// convention of this tool.
constexpr double told_apart = 0.01;

double margin_of(const Standing& one) {
    return std::isnan(one.margin) ? -std::numeric_limits<double>::infinity() : one.margin;
}

/// Smaller is worse.
auto key_of(const Standing& one) {
    return std::pair(-static_cast<int>(one.grade), std::round(margin_of(one) / told_apart));
}

}  // namespace

Standing standing_of(const Judgement& judgement) {
    return {judgement.grade, judgement.margin};
}

bool worse(const Standing& a, const Standing& b) {
    return std::pair(-static_cast<int>(a.grade), margin_of(a)) <
           std::pair(-static_cast<int>(b.grade), margin_of(b));
}

bool better(std::span<const Standing> a, std::span<const Standing> b) {
    const std::size_t both = std::min(a.size(), b.size());
    for (std::size_t i = 0; i < both; ++i) {
        const auto here = key_of(a[i]);
        const auto there = key_of(b[i]);
        if (here != there) return there < here;
    }
    return a.size() > b.size();
}

}  // namespace damper
