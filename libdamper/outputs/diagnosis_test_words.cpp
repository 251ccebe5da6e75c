// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_parts_words.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

double share_settled(const DiagnosisRecord& record, const DiagnosisTest& test) {
    return record.open_bits > 0.0 ? std::clamp(test.bits / record.open_bits, 0.0, 1.0) : 0.0;
}

std::string settles_words(double share) {
    struct Step {
        double from;
        const char* words;
    };
    for (const Step& step : {Step{0.8, "would settle nearly all that is open"},
                             Step{0.6, "would settle most of what is open"},
                             Step{0.4, "would settle about half of what is open"},
                             Step{0.15, "would settle some of what is open"}}) {
        if (share >= step.from) return step.words;
    }
    return "would settle a little of what is open";
}

std::vector<const DiagnosisTest*> next_tests(const DiagnosisRecord& record, bool gearbox_off,
                                             std::size_t most) {
    std::vector<const DiagnosisTest*> out;
    // Once it is all but known, what would tell a trace more is not worth the work.
    constexpr double worth_it = 0.2;  // bit
    for (const DiagnosisTest& test : record.tests) {
        if (is_settled(record) && test.bits < worth_it) continue;
        if (test.needs_gearbox_off() == gearbox_off && out.size() < most) out.push_back(&test);
    }
    return out;
}

std::string test_words(const DiagnosisRecord& record, const DiagnosisTest& test) {
    const std::string time =
        test.minutes < 1.0 ? "" : fmt::format("about {:.0f} min, ", test.minutes);
    return fmt::format("{}, {}{}", test.kind, time, settles_words(share_settled(record, test)));
}

std::vector<std::string> outcome_words(const DiagnosisTest& test) {
    std::vector<std::string> out;
    if (test.outcomes.empty()) return out;
    const auto same = [&](const auto& one) { return one.leads == test.outcomes.front().leads; };
    if (std::ranges::all_of(test.outcomes, same)) {
        const auto [least, most] = std::ranges::minmax(
            test.outcomes, {}, [](const DiagnosisTest::Outcome& one) { return one.probability; });
        out.push_back(
            fmt::format("Whatever it shows, {} still leads, with {} (\"{}\") to {} (\"{}\").",
                        in_sentence(least.leads), probability_text(least.probability), least.says,
                        probability_text(most.probability), most.says));
        return out;
    }
    for (const DiagnosisTest::Outcome& one : test.outcomes) {
        out.push_back(fmt::format("{} (to be expected with {}): then {} leads with {}.", one.says,
                                  probability_text(one.chance), in_sentence(one.leads),
                                  probability_text(one.probability)));
    }
    return out;
}

std::vector<std::string> figure_lines(const DiagnosisRecord& record, const DiagnosisTest& test) {
    std::vector<std::string> out;
    for (const std::size_t f : test.figures) {
        const DiagnosisFigure& figure = record.figures[f];
        const Shown shown = shown_as(figure.units, std::abs(figure.healthy));
        out.push_back(fmt::format(
            "{}{}: {}", figure.name, shown.units.empty() ? "" : fmt::format(" [{}]", shown.units),
            figure.shown_by == "run" ? words_of(figure.name) : in_sentence(figure.definition)));
    }
    return out;
}

}  // namespace damper
