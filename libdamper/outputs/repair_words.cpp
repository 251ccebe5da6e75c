// SPDX-License-Identifier: MIT
#include "libdamper/outputs/repair_words.hpp"

#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

std::string number_or_dash(const std::optional<double>& value, const Shown& shown) {
    return value && std::isfinite(*value) ? table_number(shown.of(*value)) : "–";
}

std::vector<std::string> not_as_sound(const RepairRecord& repair) {
    std::vector<std::string> out;
    for (const DiagnosisFigure& figure : repair.state.figures) {
        if (figure.is_unlike_sound()) out.push_back(words_of(figure.name));
    }
    return out;
}

std::string likeness(const DiagnosisFigure& figure) {
    if (!figure.is_as_sound()) return "no";
    if (figure.is_among_sound()) return "yes";
    return figure.is_better_than_sound() ? "better" : "about";
}

bool is_better(const RepairRecord& repair) {
    return std::ranges::any_of(repair.state.figures, [](const DiagnosisFigure& one) {
        return one.seen && one.is_better_than_sound();
    });
}

/// Whether a figure is better than sound vehicles with these parts by more than its error explains.
bool is_too_good(const DiagnosisFigure& figure) {
    constexpr double errors = 3.0;
    if (!figure.seen || !figure.is_better_than_sound()) return false;
    return std::max(figure.healthy_low - *figure.seen, *figure.seen - figure.healthy_high) >
           errors * figure.error;
}

/// The likeliest cause that may still be there.
const DiagnosisCause& left(const RepairRecord& repair) {
    return *std::ranges::find_if(repair.state.causes,
                                 [](const auto& one) { return one.name != cured_cause; });
}

bool is_new(const RepairRecord& repair, const std::string& seat) {
    return std::ranges::find(repair.renewed, seat) != repair.renewed.end();
}

std::string why_open(const RepairRecord& repair) {
    if (repair.complaint == "still there") {
        return "The complaint is said to be still there, but what was measured does not show it: "
               "record while it is there, in the state in which it is worst.";
    }
    const std::string chance = probability_text(repair.cured);
    if (!repair.measured) {
        return fmt::format(
            "The chance that it is cured is {}, but nothing was measured since: record again as "
            "before the repair, and give it under [repair.recordings].",
            chance);
    }
    if (!repair.is_denied_by_figures()) {
        return fmt::format(
            "The chance that it is cured is {}. What was measured since does not settle it, as "
            "\"{}\" would show little in it: drive it in the state in which it was worst, and say "
            "under [repair] whether the complaint is gone.",
            chance, left(repair).title);
    }
    return fmt::format(
        "The chance that it is cured is {}. What was measured since speaks rather against it; "
        "look for \"{}\" again.",
        chance, left(repair).title);
}

}  // namespace

std::string repair_verdict_word(RepairVerdict verdict) {
    switch (verdict) {
        case RepairVerdict::closed:
            return "Closed";
        case RepairVerdict::open:
            return "Open";
        case RepairVerdict::not_closed:
            break;
    }
    return "Not closed";
}

std::string repair_headline(const RepairRecord& repair, const DiagnosisRecord& found) {
    const DiagnosisCause& was = found.causes.front();
    std::string out = repair_verdict_word(repair.verdict) + ". ";
    if (repair.verdict == RepairVerdict::closed) {
        const char* shown =
            !repair.measured                ? "Of this complaint nothing can be measured here"
            : !not_as_sound(repair).empty() ? "What was measured since the repair speaks for a cure"
            : is_better(repair) ? "What was measured since the repair is what sound vehicles show, "
                                  "or better"
                                : "What was measured since the repair is what sound vehicles show";
        out += fmt::format("{}; the chance that it is cured is {}.", shown,
                           probability_text(repair.cured));
        if (!repair.is_told_by_figures()) {
            out += fmt::format(
                " That rests on {}{}.",
                repair.complaint == "gone" ? "the driver's word" : "the diagnosis before it",
                repair.measured ? fmt::format(" more than on what was measured, in which \"{}\" "
                                              "would show little",
                                              left(repair).title)
                                : "");
        }
    } else if (repair.verdict == RepairVerdict::open) {
        out += why_open(repair);
    } else {
        out += fmt::format("The chance that it is cured is only {}; likeliest now is \"{}\" ({}).",
                           probability_text(repair.cured), left(repair).title,
                           probability_text(left(repair).probability));
    }
    const std::vector<std::string> off = not_as_sound(repair);
    if (!off.empty()) {
        out += fmt::format(" Not as in sound vehicles: {}.", fmt::join(off, ", "));
    }
    if (!repair.state.strange.empty()) {
        out += fmt::format(" {} far from every simulated vehicle: measure again.",
                           repair.state.strange.size() > 1 ? "These lie" : "This lies");
    }
    return out +
           fmt::format(" Before it: \"{}\" ({}).", was.title, probability_text(was.probability));
}

std::string driver_words(const RepairRecord& repair) {
    return repair.complaint == "unknown" ? "not asked yet" : repair.complaint;
}

std::string repair_estimate() {
    return "An estimate: before anything is measured, a repair is taken to miss the cause in one "
           "of two cases, in one of ten where the part in which it sits is new (common practice, "
           "no "
           "source).";
}

std::vector<RepairRow> repair_rows(const RepairRecord& repair) {
    std::vector<RepairRow> out;
    for (std::size_t f = 0; f < repair.state.figures.size(); ++f) {
        const DiagnosisFigure& figure = repair.state.figures[f];
        if (!figure.seen && !repair.before[f]) continue;
        const double example = repair.before[f].value_or(figure.seen.value_or(0.0));
        const Shown shown = shown_as(figure.units, std::abs(example));
        RepairRow row;
        row.figure = capital(words_of(figure.name));
        row.units = table_units(shown);
        row.before = number_or_dash(repair.before[f], shown);
        row.after = number_or_dash(figure.seen, shown);
        if (!std::isfinite(figure.healthy)) {
            row.sound = row.sound_range = "none";
        } else {
            row.sound = table_number(shown.of(figure.healthy));
            row.sound_range = fmt::format("{} to {}", table_number(shown.of(figure.healthy_low)),
                                          table_number(shown.of(figure.healthy_high)));
        }
        if (figure.seen) row.since = likeness(figure);
        out.push_back(std::move(row));
    }
    return out;
}

std::string repair_legend() {
    return "As sound: among 95 % of sound vehicles; better: beyond them on the good side; about: "
           "beyond them by no more than the error of measurement.";
}

std::vector<std::string> repair_remarks(const RepairRecord& repair, const DiagnosisRecord& found) {
    std::vector<std::string> out;
    const DiagnosisCause& was = found.causes.front();
    if (was.probability >= likely_from && !is_new(repair, was.seat)) {
        out.push_back(fmt::format(
            "The likeliest cause sat here: {}; that is not among what was renewed. Say under "
            "renewed what was, or under done why it was not needed.",
            was.seat));
    }
    if (repair.verdict == RepairVerdict::not_closed && is_new(repair, left(repair).seat)) {
        out.emplace_back(
            "A part that is new leads again: before a second one is ordered, see that the "
            "recording "
            "is of the repaired vehicle, and that the right part was fitted.");
    }
    if (repair.complaint == "unknown") {
        out.emplace_back(
            "Whether the complaint is gone was not said: ask the driver after a drive.");
    }
    bool compared = false;
    for (std::size_t f = 0; f < repair.state.figures.size(); ++f) {
        const DiagnosisFigure& figure = repair.state.figures[f];
        compared = compared || (figure.seen && repair.before[f]);
        if (repair.other_parts && is_too_good(figure)) {
            out.push_back(fmt::format(
                "{} is far better than vehicles with these parts show: look whether what stands "
                "under [repair.change] is what was fitted.",
                capital(words_of(figure.name))));
        }
    }
    if (repair.measured && !compared) {
        out.emplace_back(
            "Nothing of it was measured before the repair as well: that the complaint "
            "would show in it is the model's word.");
    }
    return out;
}

std::vector<std::string> still_possible(const RepairRecord& repair) {
    constexpr std::size_t most = 3;
    constexpr double least = 0.01;
    std::vector<std::string> out;
    if (repair.verdict == RepairVerdict::closed) return out;
    for (const DiagnosisCause& cause : repair.state.causes) {
        if (cause.name == cured_cause) continue;
        if (out.size() == most || cause.probability < least) break;
        out.push_back(fmt::format("{} ({}): {}", cause.title, probability_text(cause.probability),
                                  cause.look));
    }
    return out;
}

}  // namespace damper
