// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/grade_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

const DiagnosisOption* fitted(const DiagnosisRecord& record) {
    const auto found = std::ranges::find(record.options, true, &DiagnosisOption::fitted);
    return found != record.options.end() ? &*found : nullptr;
}

bool aside_of_disc(const std::string& seat) {
    return seat == "facings" || seat == "cover" || seat == "release" || seat == "flywheel";
}

/// Whether the disc of the vehicle's file, in order, suits the vehicle.
std::string suits(const DiagnosisRecord& record, const DiagnosisOption& own) {
    const bool beaten =
        std::ranges::any_of(record.options, [&](const auto& one) { return one.grade < own.grade; });
    std::string out = fmt::format("The disc in the vehicle's file, {}, ", own.disc);
    if (beaten) {
        out +=
            "does not suit this vehicle even when it is sound: another one is better in all "
            "runs together.";
    } else if (own.grade == Grade::good) {
        out += fmt::format(
            "suits this vehicle when it is sound: good in {}, as far as a disc "
            "decides.",
            fmt::join(record.disc_runs, ", "));
    } else {
        out += fmt::format(
            "suits this vehicle when it is sound: in {} together no disc of the "
            "class does better.",
            fmt::join(record.disc_runs, ", "));
    }
    return out;
}

/// The first that helps, of those that spoil something or of those that do not.
const DiagnosisOption* helper(const DiagnosisRecord& record, bool spoils) {
    const auto found = std::ranges::find_if(record.options, [&](const DiagnosisOption& one) {
        return one.helps && one.spoils == spoils;
    });
    return found != record.options.end() ? &*found : nullptr;
}

std::string cost(const DiagnosisOption& one) {
    return one.worse.empty() ? "it costs nothing that counts in the other runs"
                             : "the price: " + one.worse.front();
}

/// What to expect of another kind of disc where the disc is, or may be, at fault.
std::string of_another(const DiagnosisRecord& record) {
    if (const DiagnosisOption* one = helper(record, false)) {
        return fmt::format(
            "In {} {} does better than a sound disc of the fitted kind ({}); {}. Ask first whether "
            "the maker allows it.",
            record.disc_run, one->disc, one->better.empty() ? "" : one->better.front(), cost(*one));
    }
    if (const DiagnosisOption* one = helper(record, true)) {
        return fmt::format("{} does better in {}, but it is not to be recommended here; {}.",
                           one->disc, record.disc_run, cost(*one));
    }
    return fmt::format(
        "No other disc of the class does clearly better in {} than a sound one of "
        "the fitted kind: if a disc is due, take that kind.",
        record.disc_run);
}

/// What another disc does while the cause stays in the vehicle.
std::string with_cause(const DiagnosisRecord& record, const DiagnosisOption& own) {
    if (!own.with_cause || *own.with_cause != Grade::bad) return "";
    const DiagnosisOption* best = nullptr;
    for (const DiagnosisOption& one : record.options) {
        if (!one.with_cause || *one.with_cause == Grade::bad) continue;
        if (best == nullptr || *one.with_cause < *best->with_cause) best = &one;
    }
    const bool flywheel = record.causes.front().seat == "flywheel";
    if (best == nullptr) {
        return fmt::format(
            "With the cause left in, no disc of the class keeps {} within its "
            "limits.",
            record.disc_run);
    }
    if (flywheel) {
        return fmt::format(
            "If the flywheel stays as it is, {} is the disc for it: {} in {}, where "
            "the fitted one is bad.",
            best->disc, grade_key(*best->with_cause), record.disc_run);
    }
    return fmt::format(
        "With the cause left in, {} would bring {} to {}: that hides it and cures "
        "nothing.",
        best->disc, record.disc_run, grade_key(*best->with_cause));
}

double probability_of_disc(const DiagnosisRecord& record) {
    double out = 0.0;
    for (const DiagnosisCause& one : record.causes) {
        if (one.seat == "disc") out += one.probability;
    }
    return out;
}

/// What to say of discs where none is the cause or the way to live with it: a line, as sure as the
/// ranking is.
std::string outside_of_disc(const DiagnosisRecord& record) {
    const DiagnosisCause& first = record.causes.front();
    const char* kind = "Where Mend asks for a disc, fit a new one of the kind that belongs there.";
    if (record.disc_run.empty()) {
        return fmt::format("The disc's damper does not cause or cure this. {}", kind);
    }
    const bool aside = aside_of_disc(first.seat);
    if (first.probability >= clear_from) {
        return fmt::format("Another disc does not cure it (seat: {}). {}", first.seat,
                           aside ? kind : "Do not buy one for this.");
    }
    return fmt::format(
        "If it is the likeliest cause ({}, seat: {}), another disc does not cure it; that is not "
        "{}: settle the cause before a disc is bought.",
        probability_text(first.probability), first.seat,
        first.probability >= likely_from ? "proven" : "settled");
}

}  // namespace

bool disc_matters(const DiagnosisRecord& record) {
    return !record.disc_run.empty() && record.options.size() > 1 &&
           (probability_of_disc(record) >= hardly_below ||
            record.causes.front().seat == "flywheel");
}

std::vector<std::string> disc_advice(const DiagnosisRecord& record) {
    const DiagnosisOption* own = fitted(record);
    if (own == nullptr) return {};
    if (!disc_matters(record)) return {outside_of_disc(record)};
    std::vector<std::string> out;
    const DiagnosisCause& first = record.causes.front();
    const double of_disc = probability_of_disc(record);
    const std::string living = with_cause(record, *own);
    if (of_disc >= likely_from) {
        const bool leads = first.seat == "disc";
        out.push_back(fmt::format(
            "{} in the disc{}; a sound disc of the right kind cures it if that is confirmed. {}",
            leads ? "The likeliest cause sits" : "Most likely it is something",
            leads ? ""
                  : fmt::format(" ({} for all its causes together)", probability_text(of_disc)),
            of_another(record)));
    } else if (of_disc >= hardly_below) {
        out.push_back(fmt::format(
            "Whether it is the disc is not settled ({} for all its causes together): find that out "
            "before one is bought. {}",
            probability_text(of_disc), of_another(record)));
    } else {
        out.emplace_back("The likeliest cause sits in the flywheel; flywheel and disc must match.");
    }
    if (!living.empty()) out.push_back(living);
    return out;
}

std::vector<std::string> disc_words(const DiagnosisRecord& record) {
    std::vector<std::string> out = disc_advice(record);
    const DiagnosisOption* own = fitted(record);
    if (own == nullptr || !disc_matters(record)) return out;
    out.push_back(suits(record, *own));
    if (!record.disc_commands.empty()) {
        out.push_back(fmt::format("Figures: {}.", fmt::join(record.disc_commands, "; ")));
    }
    if (!record.fitted_reasons.empty()) {
        out.push_back(
            fmt::format("Not good with it even so: {}.", fmt::join(record.fitted_reasons, "; ")));
    }
    for (const std::string& limit : record.out_of_reach) {
        out.push_back("Set aside, since no disc of the class meets it, " + limit + ".");
    }
    return out;
}

}  // namespace damper
