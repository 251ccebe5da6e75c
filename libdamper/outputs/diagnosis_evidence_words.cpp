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

bool is_share_of_swing(const DiagnosisFigure& figure) {
    return figure.name.ends_with("_order_share");
}

/// Whether nothing that was recorded goes beyond sound vehicles: then shares are those of nothing.
bool hardly_swings(const DiagnosisRecord& record) {
    return std::ranges::none_of(record.figures, [](const DiagnosisFigure& one) {
        return one.shown_by == "run" && !is_share_of_swing(one) && one.is_unlike_sound();
    });
}

/// The figures of a group that say so, most telling first.
std::vector<std::size_t> figures_of(const DiagnosisRecord& record,
                                    const DiagnosisEvidence& evidence, std::size_t most) {
    std::vector<std::size_t> out;
    for (const std::size_t f : evidence.figures) {
        if (record.figures[f].seen) out.push_back(f);
    }
    if (out.empty()) {  // they say it together only
        for (std::size_t f = 0; f < record.figures.size(); ++f) {
            const DiagnosisFigure& figure = record.figures[f];
            if (figure.seen && figure.shown_by == evidence.name) out.push_back(f);
        }
    }
    const auto of_nothing = [&](std::size_t f) { return is_share_of_swing(record.figures[f]); };
    if (hardly_swings(record) && !std::ranges::all_of(out, of_nothing)) {
        std::erase_if(out, of_nothing);
    }
    if (out.size() > most) out.resize(most);
    return out;
}

/// A figure as a number: what was seen, of sound vehicles, with the cause.
std::string figure_words(const DiagnosisRecord& record, const DiagnosisCause& cause,
                         std::size_t f) {
    const DiagnosisFigure& figure = record.figures[f];
    const std::string with = figure_text(cause.middle[f], figure.units);
    std::string beside;
    if (!std::isfinite(figure.healthy)) {
        beside = "sound vehicles have none; with it " + with;
    } else if (!sound_tells(record, f)) {
        beside = "with it " + with;
    } else if (figure.is_as_sound()) {
        beside = "as in sound vehicles; with it " + with;
    } else {
        beside =
            fmt::format("sound {}, with it {}", figure_text(figure.healthy, figure.units), with);
    }
    return fmt::format("{} {} ({})", words_of(figure.name), figure_text(*figure.seen, figure.units),
                       beside);
}

/// Whether a group speaks for a cause only in that other causes would show in it.
bool others_would_show(const DiagnosisRecord& record, const DiagnosisEvidence& evidence,
                       std::size_t most) {
    const std::vector<std::size_t> told_of = figures_of(record, evidence, most);
    return evidence.weight > 0.0 && std::ranges::all_of(told_of, [&](std::size_t f) {
               return sound_tells(record, f) && record.figures[f].is_as_sound();
           });
}

/// Figures of a group that count.
std::string group_words(const DiagnosisRecord& record, const DiagnosisCause& cause,
                        const DiagnosisEvidence& evidence, std::size_t most) {
    const bool of_others = others_would_show(record, evidence, most);
    std::vector<std::string> out;
    for (const std::size_t f : figures_of(record, evidence, most)) {
        const DiagnosisFigure& figure = record.figures[f];
        out.push_back(of_others ? fmt::format("{} {}", words_of(figure.name),
                                              figure_text(*figure.seen, figure.units))
                                : figure_words(record, cause, f));
    }
    std::string text = fmt::format("{}", fmt::join(out, ", "));
    if (of_others) text += ": as in sound vehicles; other causes would show here";
    return text;
}

/// A question with its answer, or a group with at most so many figures.
std::string evidence_text(const DiagnosisRecord& record, const DiagnosisCause& cause,
                          const DiagnosisEvidence& one, std::size_t figures) {
    const bool of_figures = one.answer.empty();
    const std::string answer = of_figures ? group_words(record, cause, one, figures) : one.answer;
    return answer.empty() ? one.asks
                          : fmt::format("{}{}{}", one.asks, of_figures ? ": " : " – ", answer);
}

/// The same without the words for the group.
std::string finding_text(const DiagnosisRecord& record, const DiagnosisCause& cause,
                         const DiagnosisEvidence& one) {
    return one.answer.empty() ? group_words(record, cause, one, 1)
                              : evidence_text(record, cause, one, 1);
}

std::string evidence_line(const DiagnosisRecord& record, const DiagnosisCause& cause,
                          const DiagnosisEvidence& one) {
    constexpr std::size_t figures = 3;
    return fmt::format("{} ({}).", evidence_text(record, cause, one, figures),
                       evidence_word(one.weight));
}

std::vector<std::string> evidence_lines(const DiagnosisRecord& record, const DiagnosisCause& cause,
                                        double sign) {
    std::vector<std::string> out;
    for (const DiagnosisEvidence& one : cause.evidence) {
        if (one.weight * sign >= told) out.push_back(evidence_line(record, cause, one));
    }
    return out;
}

}  // namespace

bool sound_tells(const DiagnosisRecord& record, std::size_t f) {
    constexpr double most = 0.5;  // of all that simulated vehicles show, with whatever cause
    const DiagnosisFigure& figure = record.figures[f];
    double low = figure.healthy_low, high = figure.healthy_high;
    for (const DiagnosisCause& cause : record.causes) {
        low = std::fmin(low, cause.low[f]);
        high = std::fmax(high, cause.high[f]);
    }
    return !is_share_of_swing(figure) &&
           figure.healthy_high - figure.healthy_low <= most * (high - low);
}

std::string figure_text(double value, const std::string& units) {
    const Shown shown = shown_as(units, std::abs(value));
    return std::isfinite(value) ? with_units(as_number(shown.of(value)), shown.units) : "none";
}

std::string evidence_word(double weight) {
    if (weight >= strong_evidence) return "strongly for it";
    if (weight >= plain_evidence) return "for it";
    if (weight >= told) return "rather for it";
    if (weight > -told) return "says nothing";
    if (weight > -plain_evidence) return "rather against it";
    return weight > -strong_evidence ? "against it" : "strongly against it";
}

std::vector<std::string> evidence_for(const DiagnosisRecord& record, const DiagnosisCause& cause) {
    return evidence_lines(record, cause, 1.0);
}

std::vector<std::string> evidence_against(const DiagnosisRecord& record,
                                          const DiagnosisCause& cause) {
    return evidence_lines(record, cause, -1.0);
}

std::vector<std::string> telling_evidence(const DiagnosisRecord& record,
                                          const DiagnosisCause& cause, std::size_t most) {
    std::vector<std::string> out;
    for (const DiagnosisEvidence& one : cause.evidence) {
        if (out.size() == most || std::abs(one.weight) < told) break;
        out.push_back(evidence_line(record, cause, one));
    }
    return out;
}

std::vector<std::string> found_for(const DiagnosisRecord& record, const DiagnosisCause& cause) {
    constexpr std::size_t most = 2;
    std::vector<std::string> out;
    for (const DiagnosisEvidence& one : cause.evidence) {
        const DiagnosisAnswer* answer = record.answer_to(one.name);
        const bool on_parts =
            answer != nullptr ? answer->is_of_parts() : !others_would_show(record, one, 3);
        if (on_parts && one.weight >= told && out.size() < most) {
            out.push_back(finding_text(record, cause, one));
        }
    }
    return out;
}

std::vector<RuledOut> ruled_out(const DiagnosisRecord& record) {
    constexpr double notable = 0.03;
    constexpr std::size_t reasons = 2;
    std::vector<RuledOut> out;
    for (const DiagnosisCause& cause : record.causes) {
        if (cause.prior < notable || cause.probability >= worth_showing) continue;
        std::vector<std::string> by;
        for (const DiagnosisEvidence& one : cause.evidence) {
            if (one.weight > -told || by.size() == reasons) continue;
            // Of a cause that was not simulated, figures are those of any or of sound vehicles.
            const bool by_others = one.answer.empty() && !cause.is_simulated;
            by.push_back(by_others ? "what was measured fits causes that were simulated far better"
                                   : finding_text(record, cause, one));
        }
        if (by.empty()) by.emplace_back("What is known fits another cause far better");
        out.push_back({&cause, std::move(by)});
    }
    return out;
}

}  // namespace damper
