// SPDX-License-Identifier: MIT
#include "libdamper/outputs/grade_text.hpp"

#include "libdamper/outputs/number_text.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>

namespace damper {

std::string_view grade_key(Grade grade) {
    switch (grade) {
        case Grade::good:
            return "good";
        case Grade::watch:
            return "watch";
        case Grade::bad:
            return "bad";
    }
    return "";
}

std::string_view grade_word(Grade grade) {
    switch (grade) {
        case Grade::good:
            return "Good";
        case Grade::watch:
            return "Watch";
        case Grade::bad:
            return "Bad";
    }
    return "";
}

std::string_view grade_meaning(Grade grade) {
    switch (grade) {
        case Grade::good:
            return "All that was judged is within its limit.";
        case Grade::watch:
            return "Something is past its limit for good, nothing is bad yet.";
        case Grade::bad:
            return "At least one limit is missed.";
    }
    return "";
}

std::string_view grade_shape(Grade grade) {
    switch (grade) {
        case Grade::good:
            return "●";
        case Grade::watch:
            return "▲";
        case Grade::bad:
            return "■";
    }
    return "";
}

std::string limit_text(const Judgement& judgement) {
    const Shown shown = measure_shown_as(judgement.measure, judgement.units, magnitude(judgement));
    const bool less_is_better = judgement.bad >= judgement.good;
    std::string text = fmt::format("good {} {}", less_is_better ? "up to" : "from",
                                   number_text(shown.of(judgement.good)));
    if (judgement.bad != judgement.good) {
        text += fmt::format(", bad {} {}", less_is_better ? "above" : "below",
                            number_text(shown.of(judgement.bad)));
    }
    return with_units(std::move(text), shown.units);
}

std::string margin_text(double margin) {
    if (!std::isfinite(margin)) return "–";
    const double percent = 100.0 * std::abs(margin);
    const std::string number =
        percent < 9.95 ? fmt::format("{:.1f}", percent) : fmt::format("{:.0f}", percent);
    return fmt::format("{} % {}", number, margin < 0.0 ? "beyond" : "in hand");
}

double magnitude(const Judgement& judgement) {
    return std::max({std::abs(judgement.value), std::abs(judgement.good), std::abs(judgement.bad)});
}

double magnitude(const BandResult& band) {
    return std::max({std::abs(band.value), std::abs(band.low), std::abs(band.high)});
}

}  // namespace damper
