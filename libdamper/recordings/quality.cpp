// SPDX-License-Identifier: MIT
#include "libdamper/recordings/quality.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>
#include <vector>

namespace damper {

// The bounds below are common practice, no source.

void note(RecordingFindings& findings, QualityWeight weight, std::string about, std::string text) {
    // Of two shafts in one table the same may be true.
    if (std::ranges::find(findings.quality, text, &QualityNote::text) != findings.quality.end()) {
        return;
    }
    findings.quality.push_back({weight, std::move(about), std::move(text)});
}

void settle_quality(RecordingFindings& findings) {
    std::ranges::stable_sort(findings.quality, std::ranges::greater{},
                             [](const QualityNote& one) { return static_cast<int>(one.weight); });
    if (!findings.usable()) findings.figures.clear();
    const bool doubt = std::ranges::any_of(findings.quality, [](const QualityNote& one) {
        return one.weight == QualityWeight::doubt;
    });
    if (!doubt) return;
    for (RecordingFigure& figure : findings.figures) figure.doubtful = true;
}

void look_at_times(RecordingFindings& findings, std::span<const double> time) {
    std::vector<double> steps;
    steps.reserve(time.size());
    for (std::size_t i = 1; i < time.size(); ++i) steps.push_back(time[i] - time[i - 1]);
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    const double usual = *middle;
    constexpr double gap = 3.0;
    std::size_t gaps = 0;
    double widest = 0.0, at = 0.0;
    for (std::size_t i = 1; i < time.size(); ++i) {
        const double step = time[i] - time[i - 1];
        if (step <= gap * usual) continue;
        ++gaps;
        if (step > widest) {
            widest = step;
            at = time[i - 1];
        }
    }
    if (gaps > 0) {
        note(findings, QualityWeight::doubt, "drop-outs",
             fmt::format("{} {} between rows, the widest {:.4g} s at {:.6g} s, where rows stand "
                         "{:.4g} s apart otherwise.",
                         gaps, gaps == 1 ? "gap" : "gaps", widest, at, usual));
    }
}

void look_for_clipping(RecordingFindings& findings, std::span<const double> values,
                       const char* what) {
    if (values.empty()) return;
    const auto [low, high] = std::ranges::minmax_element(values);
    const double bottom = *low, top = *high;
    if (!(top > bottom)) return;
    constexpr std::size_t run = 3;  // values alike in a row at the very end of the range
    std::size_t clipped = 0, row = 0;
    for (std::size_t i = 0; i <= values.size(); ++i) {
        const bool same = i > 0 && i < values.size() && values[i] == values[i - 1];
        const bool at_end = i < values.size() && (values[i] == top || values[i] == bottom);
        if (at_end && (same || row == 0)) {
            ++row;
            continue;
        }
        if (row >= run) clipped += row;
        row = at_end ? 1 : 0;
    }
    const double share = static_cast<double>(clipped) / static_cast<double>(values.size());
    if (clipped < 2 * run) return;
    constexpr double grave = 0.05;
    note(findings, share > grave ? QualityWeight::unusable : QualityWeight::doubt, "clipping",
         fmt::format("{} is cut off at the end of its range in {:.2g} % of its values; record it "
                     "again with less gain.",
                     what, 100.0 * share));
}

void look_for_held_values(RecordingFindings& findings, std::span<const double> values,
                          const char* what) {
    if (values.size() < 8) return;
    std::size_t held = 0;
    for (std::size_t i = 1; i < values.size(); ++i) held += values[i] == values[i - 1] ? 1U : 0U;
    if (held == values.size() - 1) {
        note(findings, QualityWeight::unusable, "no signal",
             fmt::format("{} never changes.", what));
        return;
    }
    const double share = static_cast<double>(held) / static_cast<double>(values.size() - 1);
    constexpr double many = 0.5;
    if (share < many) return;
    note(findings, QualityWeight::doubt, "held values",
         fmt::format("{} is the same as in the row before in {:.0f} % of the rows: it is measured "
                     "more seldom, or more coarsely, than it is written.",
                     what, 100.0 * share));
}

void look_for_silence(RecordingFindings& findings, std::span<const double> values, double step) {
    constexpr double shortest = 0.002;  // [s]
    const auto fewest = static_cast<std::size_t>(std::max(8.0, shortest / step));
    std::size_t row = 0, silences = 0, quiet = 0;
    for (std::size_t i = 0; i <= values.size(); ++i) {
        if (i < values.size() && values[i] == values[i > 0 ? i - 1 : 0]) {
            ++row;
            continue;
        }
        if (row >= fewest) {
            ++silences;
            quiet += row;
        }
        row = 0;
    }
    if (quiet + 1 >= values.size()) {
        note(findings, QualityWeight::unusable, "no signal", "There is nothing but silence in it.");
    } else if (silences > 0) {
        note(findings, QualityWeight::doubt, "drop-outs",
             fmt::format("The signal stands still {} {} for {:.2g} ms and more: the recorder lost "
                         "some of it, or cuts quiet parts.",
                         silences, silences == 1 ? "time" : "times", 1e3 * shortest));
    }
}

}  // namespace damper
