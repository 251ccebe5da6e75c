// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_parts_words.hpp"

#include "libdamper/outputs/diagnosis_words.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

/// What is looked at with the gearbox off.
struct OpenCheck {
    const char* text;
    const char* question;            ///< That says the same once it was answered; or empty.
    std::vector<std::string> seats;  ///< Of causes that it goes with.
};

/// Common practice, no source.
const std::vector<OpenCheck>& open_checks() {
    static const std::vector<OpenCheck> all{
        {"Flywheel face: run-out, hot spots, cracks",
         "flywheel_look",
         {"disc", "facings", "cover"}},
        {"Spline of the input shaft: a disc slides the whole way and hardly rocks",
         "spline",
         {"disc", "cover", "flywheel", "gearbox"}},
        {"Crankshaft seal and seal of the input shaft: dry",
         "",
         {"facings", "flywheel", "release"}},
        {"Spigot bearing, where there is one: smooth, no play",
         "bearings_by_hand",
         {"disc", "flywheel", "gearbox"}},
        {"Release bearing, guide tube, fork: smooth, square, not grooved",
         "bearings_by_hand",
         {"facings", "cover", "release"}},
        {"Finger tips of the cover: even, not worn, not blue",
         "fingers_load",
         {"facings", "release"}},
        {"Dowels, bore and face of the clutch housing: all there, in line",
         "housing_gauged",
         {"disc", "gearbox"}},
    };
    return all;
}

double probability_at(const DiagnosisRecord& record, const std::string& seat) {
    double out = 0.0;
    for (const DiagnosisCause& one : record.causes) {
        const bool facings_of_disc = seat == "disc" && one.seat == "facings";
        if (one.seat == seat || facings_of_disc) out += one.probability;
    }
    return out;
}

/// Seat of the part that a figure of a bench is about; empty: of none alone.
std::string part_of(const DiagnosisFigure& figure) {
    if (figure.shown_by == "disc bench" || figure.name == "disc_runout") return "disc";
    for (const char* name : {"clamp_load_new", "lift_parallelism", "spring_deflection"}) {
        if (figure.name == name) return "cover";
    }
    return "";
}

/// Whether figures of a bench show a part to be good: some were measured, and all are as sound.
bool measured_good(const DiagnosisRecord& record, const std::string& seat) {
    bool measured = false;
    for (const DiagnosisFigure& figure : record.figures) {
        if (!figure.seen || part_of(figure) != seat) continue;
        if (!figure.is_as_sound()) return false;
        measured = true;
    }
    return measured;
}

/// What is not the clutch, is often taken out for such a complaint, and hardly is the cause.
std::vector<std::string> not_to_exchange(const DiagnosisRecord& record) {
    constexpr double suspected = 0.03;
    std::vector<std::string> out;
    for (const char* seat : {"gearbox", "engine", "axle", "mounts"}) {
        double before = 0.0, now = 0.0;
        for (const DiagnosisCause& one : record.causes) {
            if (one.seat != seat) continue;
            before += one.prior;
            now += one.probability;
        }
        if (before >= suspected && now < worth_showing) {
            out.push_back(fmt::format("{} ({})", seat, probability_text(now)));
        }
    }
    return out;
}

/// Parts that were found good and that the repair of the cause that leads does not ask for.
std::vector<std::string> not_to_order(const DiagnosisRecord& record) {
    const std::string mend = in_sentence(record.causes.front().mend);
    std::vector<std::string> out;
    for (const auto& [seat, name] :
         std::vector<std::pair<std::string, std::string>>{{"disc", "disc"},
                                                          {"cover", "cover"},
                                                          {"release", "release parts"},
                                                          {"flywheel", "flywheel"}}) {
        const bool found = measured_good(record, seat) ||
                           std::ranges::find(record.answers, seat, &DiagnosisAnswer::clears) !=
                               record.answers.end();
        const bool alternatives = mend.find(" or ") != std::string::npos;
        const bool asked = (mend.find(seat) != std::string::npos && !alternatives) ||
                           mend.find("set") != std::string::npos;  // disc, cover and bearing
        if (found && !asked && probability_at(record, seat) < hardly_below) out.push_back(name);
    }
    return out;
}

}  // namespace

bool is_settled(const DiagnosisRecord& record) {
    return record.causes.front().probability >= sure_from && record.strange.empty() &&
           !record.as_sound;
}

std::string before_assembly_heading(const DiagnosisRecord& record) {
    const bool off =
        std::ranges::find(record.answers, "opened", &DiagnosisAnswer::kind) != record.answers.end();
    return off ? "Before the gearbox is put back, look"
               : "If the gearbox comes off, look before it is put back";
}

std::vector<std::string> before_assembly(const DiagnosisRecord& record) {
    std::vector<std::string> out;
    if (!is_settled(record)) return out;
    const std::string& seat = record.causes.front().seat;
    for (const OpenCheck& check : open_checks()) {
        const bool fits = std::ranges::find(check.seats, seat) != check.seats.end();
        if (fits && record.answer_to(check.question) == nullptr) out.emplace_back(check.text);
    }
    return out;
}

std::vector<std::string> parts_words(const DiagnosisRecord& record) {
    const DiagnosisCause& first = record.causes.front();
    std::vector<std::string> out;
    if (!record.strange.empty()) {
        out.push_back(fmt::format("Order nothing before {} was measured again.",
                                  fmt::join(record.strange, ", ")));
    } else if (record.as_sound) {
        out.emplace_back("Order nothing while all that was measured is as in sound vehicles.");
    } else if (first.probability >= clear_from) {
        out.push_back(first.mend);
    } else if (first.probability >= likely_from) {
        out.push_back("Order only once it is confirmed: " + in_sentence(first.mend));
    } else {
        out.emplace_back("Order nothing yet: which cause it is is not settled.");
    }
    const std::vector<std::string> found = found_for(record, first);
    if (first.probability >= likely_from && !found.empty()) {
        out.push_back(fmt::format("Found for it: {}.", fmt::join(found, "; ")));
    }
    if (record.clutch_probability < hardly_below) {
        out.emplace_back("Do not order parts of the clutch for this.");
    } else if (const auto good = not_to_order(record); !good.empty()) {
        out.push_back(fmt::format("Do not order: {} (found good).", fmt::join(good, ", ")));
    }
    const std::vector<std::string> others = not_to_exchange(record);
    if (first.probability >= clear_from && !others.empty()) {
        out.push_back(
            fmt::format("Do not open or exchange for this: {}.", fmt::join(others, ", ")));
    }
    return out;
}

std::vector<std::string> findings(const DiagnosisRecord& record) {
    std::vector<std::string> out;
    for (const DiagnosisAnswer& one : record.answers) {
        if (one.kind != "asked") out.push_back(fmt::format("{} – {}.", one.asks, one.says));
    }
    return out;
}

}  // namespace damper
