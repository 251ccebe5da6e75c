// SPDX-License-Identifier: MIT
#include "libdamper/base/nearest_word.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstddef>
#include <vector>

namespace damper {

namespace {

constexpr std::size_t longest_compared = 80;  // longer words are no misspelling of a key

char lower(char c) {
    return static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
}

bool is_gap(char c) {
    return c == ' ' || c == '_' || c == '-';
}

double change_cost(char a, char b) {
    if (a == b) return 0.0;
    if (lower(a) == lower(b) || (is_gap(a) && is_gap(b))) return 0.25;
    return 1.0;
}

bool part_of(std::string_view word, std::string_view candidate) {
    return word.size() >= 3 && (candidate.starts_with(word) || candidate.ends_with(word));
}

}  // namespace

double word_distance(std::string_view a, std::string_view b) {
    // Optimal string alignment: three rows of the table suffice for swaps of neighbours.
    std::array<std::vector<double>, 3> rows;
    for (auto& row : rows) row.assign(b.size() + 1, 0.0);
    for (std::size_t j = 0; j <= b.size(); ++j) rows[0][j] = static_cast<double>(j);
    for (std::size_t i = 1; i <= a.size(); ++i) {
        const auto& before = rows[(i - 1) % 3];
        auto& row = rows[i % 3];
        row[0] = static_cast<double>(i);
        for (std::size_t j = 1; j <= b.size(); ++j) {
            row[j] = std::min({before[j] + 1.0, row[j - 1] + 1.0,
                               before[j - 1] + change_cost(a[i - 1], b[j - 1])});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) row[j] = std::min(row[j], rows[(i - 2) % 3][j - 2] + 1.0);
        }
    }
    return rows[a.size() % 3][b.size()];
}

std::string nearest_word(std::string_view word, std::span<const std::string> candidates) {
    if (word.empty() || word.size() > longest_compared) return "";
    const double reach = std::max(1.0, static_cast<double>(word.size()) / 3.0);
    std::string best;
    double least = reach + 1e-9;
    for (const auto& candidate : candidates) {
        double distance = word_distance(word, candidate);
        if (part_of(word, candidate)) distance = std::min(distance, reach * 0.9);
        if (distance < least) {
            least = distance;
            best = candidate;
        }
    }
    return best;
}

}  // namespace damper
