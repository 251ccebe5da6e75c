// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"

#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

constexpr double told = 0.1;  // in powers of ten: evidence below says nothing

std::string lower_first(std::string text) {
    if (text.size() > 1 && std::isupper(static_cast<unsigned char>(text[0])) != 0 &&
        std::islower(static_cast<unsigned char>(text[1])) != 0) {
        text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
    }
    return text;
}

/// Three digits are enough beside what simulated vehicles scatter.
std::string short_text(double value, const std::string& units) {
    const Shown shown = shown_as(units, std::abs(value));
    return std::isfinite(value) ? with_units(as_number(shown.of(value)), shown.units) : "none";
}

/// Figures of a group that count, as numbers: what was seen, of sound vehicles, with the cause.
std::string figure_words(const DiagnosisRecord& record, const DiagnosisCause& cause,
                         const DiagnosisEvidence& evidence) {
    constexpr std::size_t most = 3;
    std::vector<std::size_t> told_of = evidence.figures;
    if (told_of.empty()) {  // they say it together only
        for (std::size_t f = 0; f < record.figures.size(); ++f) {
            const DiagnosisFigure& figure = record.figures[f];
            if (figure.seen && figure.shown_by == evidence.name) told_of.push_back(f);
        }
    }
    if (told_of.size() > most) told_of.resize(most);
    std::vector<std::string> out;
    bool all_sound = true;
    for (const std::size_t f : told_of) {
        const DiagnosisFigure& figure = record.figures[f];
        if (!figure.seen) continue;
        const bool sound = figure.is_as_sound();
        all_sound = all_sound && sound;
        std::string text =
            fmt::format("{} {}", words_of(figure.name), short_text(*figure.seen, figure.units));
        const std::string with = short_text(cause.middle[f], figure.units);
        if (!std::isfinite(figure.healthy)) {
            text += fmt::format(" (sound vehicles have none; with it {})", with);
        } else if (sound) {
            text += fmt::format(" (as in sound vehicles; with it {})", with);
        } else {
            text += fmt::format(" (sound {}, with it {})", short_text(figure.healthy, figure.units),
                                with);
        }
        out.push_back(std::move(text));
    }
    std::string text = fmt::format("{}", fmt::join(out, ", "));
    if (all_sound && evidence.weight > 0.0) text += "; other causes would show in it";
    return text;
}

std::vector<std::string> lines(const DiagnosisRecord& record, const DiagnosisCause& cause,
                               double sign) {
    std::vector<std::string> out;
    for (const DiagnosisEvidence& one : cause.evidence) {
        if (one.weight * sign < told) continue;
        const bool of_figures = one.answer.empty();
        const std::string answer = of_figures ? figure_words(record, cause, one) : one.answer;
        std::string text = one.asks;
        if (!answer.empty()) text += (of_figures ? ": " : " – ") + answer;
        out.push_back(fmt::format("{} ({}).", text, evidence_word(one.weight)));
    }
    return out;
}

}  // namespace

std::string probability_text(double probability) {
    const double percent = 100.0 * probability;
    if (!std::isfinite(percent)) return "–";
    if (percent > 0.0 && percent < 0.1) return "under 0.1 %";
    if (percent < 9.95) return fmt::format("{:.1f} %", percent);
    if (percent > 99.0 && percent < 100.0) return "over 99 %";
    return fmt::format("{:.0f} %", percent);
}

std::string evidence_word(double weight) {
    constexpr double plain = 0.3, strong = 0.8;
    if (weight >= strong) return "strongly for it";
    if (weight >= plain) return "for it";
    if (weight >= told) return "rather for it";
    if (weight > -told) return "says nothing";
    if (weight > -plain) return "rather against it";
    return weight > -strong ? "against it" : "strongly against it";
}

std::vector<std::string> evidence_for(const DiagnosisRecord& record, const DiagnosisCause& cause) {
    return lines(record, cause, 1.0);
}

std::vector<std::string> evidence_against(const DiagnosisRecord& record,
                                          const DiagnosisCause& cause) {
    return lines(record, cause, -1.0);
}

std::string diagnosis_headline(const DiagnosisRecord& record) {
    const DiagnosisCause& first = record.causes.front();
    std::string out;
    if (first.probability >= clear_from) {
        out = fmt::format("Most likely {} ({}).", lower_first(first.title),
                          probability_text(first.probability));
    } else if (first.probability >= likely_from || record.causes.size() < 2) {
        out = fmt::format("Rather {} ({}) than anything else, but it is not proven.",
                          lower_first(first.title), probability_text(first.probability));
    } else {
        out = fmt::format("Not settled: {} ({}) or {} ({}).", lower_first(first.title),
                          probability_text(first.probability), lower_first(record.causes[1].title),
                          probability_text(record.causes[1].probability));
    }
    if (record.as_sound) {
        out =
            "All that was measured is what sound vehicles show as well: after a repair that speaks "
            "for closing the case; before one, record again while the complaint is there. If it is "
            "still there: " +
            lower_first(out);
    }
    if (!record.strange.empty()) {
        return out + fmt::format(
                         " But {} lies far from every simulated vehicle: measure that "
                         "again first.",
                         fmt::join(record.strange, ", "));
    }
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

std::string test_words(const DiagnosisTest& test) {
    return fmt::format("{}, about {:.0f} min, tells {:.2f} bit", test.kind, test.minutes,
                       test.bits);
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
                        lower_first(least.leads), probability_text(least.probability), least.says,
                        probability_text(most.probability), most.says));
        return out;
    }
    for (const DiagnosisTest::Outcome& one : test.outcomes) {
        out.push_back(fmt::format("{} (to be expected with {}): then {} leads with {}.", one.says,
                                  probability_text(one.chance), lower_first(one.leads),
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
            figure.shown_by == "run" ? words_of(figure.name) : lower_first(figure.definition)));
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

std::size_t causes_shown(const DiagnosisRecord& record) {
    constexpr double least = 0.01;
    std::size_t count = 0;
    for (const DiagnosisCause& cause : record.causes) {
        if (count < 3 || cause.probability >= least) ++count;
    }
    return std::min(count, record.causes.size());
}

}  // namespace damper
