// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"

#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

std::string in_sentence(std::string text) {
    if (text.size() > 1 && std::isupper(static_cast<unsigned char>(text[0])) != 0 &&
        std::islower(static_cast<unsigned char>(text[1])) != 0) {
        text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
    }
    return text;
}

std::string probability_text(double probability) {
    const double percent = 100.0 * probability;
    if (!std::isfinite(percent)) return "–";
    if (percent > 0.0 && percent < 0.1) return "under 0.1 %";
    if (percent < 9.95) return fmt::format("{:.1f} %", percent);
    if (percent > 99.0 && percent < 100.0) return "over 99 %";
    return fmt::format("{:.0f} %", percent);
}

namespace {

/// What was answered and does not fit the cause that leads: one of the two is wrong, or the vehicle
/// that was chosen.
std::string contradiction(const DiagnosisRecord& record) {
    for (const DiagnosisEvidence& one : record.causes.front().evidence) {
        if (one.answer.empty()) continue;  // figures stand below, with their numbers
        const DiagnosisAnswer* answer = record.answer_to(one.name);
        // What a driver says may mean something else; what was looked at means more.
        const bool found = answer != nullptr && answer->is_of_parts();
        if (one.weight > -(found ? plain_evidence : strong_evidence)) continue;
        return fmt::format(
            " But this does not go with it: {} – {}. Look at that again, and at whether \"{}\" "
            "stands for the vehicle.",
            one.asks, one.answer, record.vehicle);
    }
    return "";
}

}  // namespace

std::string diagnosis_headline(const DiagnosisRecord& record) {
    const DiagnosisCause& first = record.causes.front();
    std::string out;
    if (first.probability >= clear_from) {
        out = fmt::format("Most likely {} ({}).", in_sentence(first.title),
                          probability_text(first.probability));
    } else if (first.probability >= likely_from || record.causes.size() < 2) {
        out = fmt::format("Rather {} ({}) than anything else, but it is not proven.",
                          in_sentence(first.title), probability_text(first.probability));
    } else {
        out = fmt::format("Not settled: {} ({}) or {} ({}).", in_sentence(first.title),
                          probability_text(first.probability), in_sentence(record.causes[1].title),
                          probability_text(record.causes[1].probability));
    }
    if (record.as_sound) {
        out =
            "All that was measured is what sound vehicles show as well: after a repair that speaks "
            "for closing the case; before one, record again while the complaint is there. If it is "
            "still there: " +
            in_sentence(out);
    }
    if (!record.strange.empty()) {
        return out + fmt::format(
                         " But {} lies far from every simulated vehicle: measure that "
                         "again first.",
                         fmt::join(record.strange, ", "));
    }
    if (first.probability >= likely_from) out += contradiction(record);
    if (record.clutch_probability < hardly_below && first.probability < likely_from) {
        out += fmt::format(" So far it is hardly the clutch ({} for all its parts together).",
                           probability_text(record.clutch_probability));
    } else if (record.clutch_probability < hardly_below) {
        out += fmt::format(
            " It is hardly the clutch ({} for all its parts together): do not "
            "replace it for this.",
            probability_text(record.clutch_probability));
    } else if (!first.is_of_clutch && first.probability >= likely_from) {
        out += " That is not the clutch.";
    }
    return out;
}

const std::vector<std::string>& diagnosis_cautions() {
    static const std::vector<std::string> all{
        "The vehicle maker's procedure, local rules and the judgement of a licensed workshop come "
        "before anything said here.",
        "Running engine: chock the wheels, apply the brake, keep hands, clothes and leads away "
        "from belts, fan, shafts and the open bellhousing; carry exhaust gas away.",
        "Raised vehicle: on stands or a lift made for it. Carry the gearbox on a gearbox jack and "
        "never let it hang in the disc.",
        "Cover, diaphragm and damper springs are loaded: undo covers evenly, by the maker's tool "
        "and order; do not open discs.",
        "Dust of old facings may hold asbestos: no blowing off, no dry brushing; damp cloth or "
        "filtered suction, gloves and mask as local rules say. Let hot parts cool.",
    };
    return all;
}

std::string diagnosis_estimate(const DiagnosisRecord& record) {
    std::string out =
        "An estimate: how often causes occur and how they show is common practice without a "
        "source";
    if (!record.run.empty()) {
        out += fmt::format(
            "; figures are compared with {} simulated vehicles for each cause of the model ({})",
            record.vehicles, record.run);
    }
    return out +
           ". Percentages assume that exactly one of the listed causes is at work. They do "
           "not replace looking.";
}

std::size_t causes_told(const DiagnosisRecord& record, std::size_t most) {
    std::size_t count = 0;
    for (const DiagnosisCause& cause : record.causes) {
        if (count == most || (count > 0 && cause.probability < worth_showing)) break;
        ++count;
    }
    return count;
}

std::size_t causes_shown(const DiagnosisRecord& record) {
    return std::max(std::min<std::size_t>(3, record.causes.size()),
                    causes_told(record, record.causes.size()));
}

}  // namespace damper
