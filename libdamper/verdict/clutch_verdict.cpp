// SPDX-License-Identifier: MIT
#include "libdamper/verdict/clutch_verdict.hpp"

#include "libdamper/measures/measured.hpp"
#include "libdamper/verdict/judge.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <string_view>
#include <utility>

namespace damper {

namespace {

std::string millimetres(double length) {
    return fmt::format("{:.2f} mm", 1e3 * length);
}

/// What is complained of if a figure misses its limit, softly and plainly.
struct Complaint {
    std::string_view figure;
    std::string_view watch;
    std::string_view bad;
};

constexpr std::array complaints = {
    Complaint{"capacity_factor", "The clutch holds the torque with little in hand",
              "The clutch slips under full torque"},
    Complaint{"wear_left", "Little wear is left", "The facings are worn out"},
    Complaint{"wear_held", "The spring lets go before the facings are worn",
              "The spring lets go long before the facings are worn"},
    Complaint{"disc_clearance", "The disc comes free, but with little clearance",
              "The disc does not come free: the clutch drags"},
    Complaint{"release_margin", "The disc turns freely, but with little lift in hand",
              "The disc does not turn freely at full pedal: the clutch drags"},
    Complaint{"lift_parallelism", "The pressure plate lifts askew",
              "The pressure plate lifts too far askew"},
    Complaint{"disc_runout", "The disc runs out", "The disc runs out too far"},
    Complaint{"facing_pressure", "The facings are pressed hard",
              "The facings are pressed too hard"},
    Complaint{"load_left_at_release", "The spring is nearly pressed through at full release",
              "The spring snaps over at full release"},
    Complaint{"clamp_load_deviation", "The measured clamp load is off its curve",
              "The measured clamp load is far off its curve"},
    Complaint{"release_load_deviation", "The measured release load is off its curve",
              "The measured release load is far off its curve"},
    Complaint{"plate_lift_deviation", "The measured plate lift is off its curve",
              "The measured plate lift is far off its curve"},
    Complaint{"slip_energy", "A start takes more out of the facings than is usual",
              "A start takes far more out of the facings than they are made for"},
    Complaint{"plate_temperature", "The plates get hot after repeated starts",
              "The plates overheat after repeated starts"},
    Complaint{"face_temperature", "The faces get so hot that friction begins to fall",
              "The faces get so hot that the facings lose their friction"},
};

Verdict judged(std::string_view vehicle_class, const std::vector<MeasureValue>& figures,
               std::string_view all_good) {
    Verdict verdict;
    verdict.judgements = judgements_of(vehicle_class, figures);
    if (verdict.judgements.empty()) return verdict;
    const Judgement& worst = verdict.judgements.front();
    verdict.grade = worst.grade;
    if (worst.grade == Grade::good) {
        verdict.headline =
            fmt::format("{} (closest to its limit: {}, {}).", all_good, words_of(worst.measure),
                        show(worst.measure, worst.units, worst.value));
        return verdict;
    }
    verdict.headline = capital(words_of(worst.measure));
    for (const Complaint& one : complaints) {
        if (!worst.measure.starts_with(one.figure)) continue;
        verdict.headline = worst.grade == Grade::bad ? one.bad : one.watch;
    }
    verdict.headline += fmt::format(" ({}: {}).", words_of(worst.measure),
                                    show(worst.measure, worst.units, worst.value));
    return verdict;
}

std::vector<std::string> clutch_cautions(std::string_view last) {
    return {
        "A cover and its bench test hold back a strong spring: only in a guarded press, fingers "
        "away from diaphragm and levers, safety glasses on; never unbolt a cover against its "
        "spring in one step. Self-adjusting covers only with the proper tool.",
        "Flywheels and facings can burst when turned too fast or ground too far: grind only to the "
        "maker's limit and never a two-mass flywheel; a crack to the edge is scrap.",
        "Plate, flywheel and housing can be far above 200 °C after slipping: let them cool before "
        "touching. Burnt facings give off irritating fumes.",
        "Treat facing dust as harmful, old facings may hold asbestos: no compressed air, no dry "
        "brush; collect it wet or with a suitable extractor and dispose of it by local rules.",
        std::string(last),
        "A gearbox comes out on a gearbox jack with a strap; never let it hang on the input shaft: "
        "it may fall, and it bends the disc.",
        "The vehicle maker's procedure and limits and the rules of the place of work come before "
        "anything said here; a competent person decides.",
        "These numbers are estimates from a model and from the data it was given; they do not "
        "prove a defect. Measure before a part is ordered or a claim decided."};
}

void say_wear(const Measured& all, std::vector<std::string>& said) {
    const auto held = value_of(all, "slip_wear");
    const auto allowance = value_of(all, "wear_allowance");
    const auto fresh = value_of(all, "clamp_load_new");
    const auto worn = value_of(all, "clamp_load_worn");
    if (fresh && worn) {
        said.push_back(
            fmt::format("It clamps with {:.0f} N when new and {:.0f} N when the facings "
                        "are worn by all they may.",
                        *fresh, *worn));
    }
    if (!held || !allowance || !std::isfinite(*held)) return;
    if (*held <= 0.0) {
        said.push_back("Warm and unworn it does not hold the torque asked for.");
    } else if (*held < *allowance) {
        said.push_back(fmt::format(
            "Warm, it holds the torque until each face has lost {}; {} would be allowed: the "
            "spring ends the clutch's life, not the facings.",
            millimetres(*held), millimetres(*allowance)));
    } else {
        said.push_back(
            fmt::format("Warm, the spring would hold the torque until each face has lost {}; the "
                        "allowance of {} ends the clutch's life first.",
                        millimetres(*held), millimetres(*allowance)));
    }
}

void say_release(const Measured& all, std::vector<std::string>& said) {
    const auto needed = value_of(all, "needed_travel");
    const auto travel = value_of(all, "travel");
    if (needed && travel && std::isfinite(*needed)) {
        said.push_back(
            fmt::format("The disc turns freely from {:.1f} mm of bearing travel on; the "
                        "bearing moves {:.1f} mm.",
                        1e3 * *needed, 1e3 * *travel));
    } else if (travel) {
        said.push_back(
            fmt::format("No bearing travel up to twice the {:.1f} mm that there are sets "
                        "the disc free.",
                        1e3 * *travel));
    }
    if (const auto excess = value_of(all, "runout_excess"); excess && *excess > 0.0) {
        said.push_back(
            fmt::format("The disc runs out by {} more than its free movement allows "
                        "for; all of that must be lifted besides.",
                        millimetres(*excess)));
    }
    if (const auto lost = value_of(all, "lost_lift"); lost && *lost > 0.0) {
        said.push_back(fmt::format("{} of lift are lost in the cover.", millimetres(*lost)));
    }
    if (const auto shift = value_of(all, "set_shift"); shift && *shift != 0.0) {
        said.push_back(fmt::format(
            "Grinding moved the set point by {}: the spring is {} than it was meant to be, as if "
            "each face {}.",
            millimetres(std::abs(*shift)), *shift < 0.0 ? "less deflected" : "more deflected",
            *shift < 0.0 ? "were worn by a share of it" : "were thicker by a share of it"));
    }
    if (value_of(all, "free_movement_assumed")) {
        said.push_back(
            "The facings do not state how far the plates must part; what is usual for "
            "the class was taken (common practice, no source).");
    }
}

void say_measured(const Measured& all, std::vector<std::string>& said) {
    const auto mean = value_of(all, "clamp_load_mean_deviation");
    if (!mean) return;
    if (std::abs(*mean) < 0.03) {
        said.push_back("The measured clamp load lies on its computed curve within 3 % on average.");
        return;
    }
    said.push_back(fmt::format(
        "The measured clamp load lies {:.0f} % {} the computed curve on average{}",
        100.0 * std::abs(*mean), *mean < 0.0 ? "below" : "above",
        *mean < 0.0
            ? ": a spring set by heat, a cracked finger or another set height would do that."
            : ": a stiffer spring or another set height would do that."));
}

}  // namespace

Verdict judge_cover(std::string_view vehicle_class, const std::vector<MeasureValue>& figures) {
    Verdict verdict =
        judged(vehicle_class, figures, "The clutch holds the torque and comes free, new and worn");
    Measured all;
    all.measures = figures;
    say_wear(all, verdict.reasons);
    say_release(all, verdict.reasons);
    say_measured(all, verdict.reasons);
    verdict.cautions = clutch_cautions(
        "Before measuring at the pedal: chock the wheels, set the parking brake, engine off; no "
        "full-load stall test to prove slip: it ruins the clutch and may launch the vehicle.");
    return verdict;
}

Verdict judge_heat(std::string_view vehicle_class, const std::vector<MeasureValue>& figures,
                   const std::string& ended) {
    Verdict verdict = judged(vehicle_class, figures, "The clutch bears these starts");
    Measured all;
    all.measures = figures;
    if (!ended.empty()) {
        verdict.reasons.push_back(ended);
        verdict.grade = Grade::bad;
        verdict.headline = "The clutch can no longer start the vehicle: friction has faded.";
    }
    const auto limit = value_of(all, "limit_temperature");
    const auto count = value_of(all, "starts_to_limit");
    const auto settled = value_of(all, "settled_temperature");
    if (limit && count && *count > 0.0) {
        verdict.reasons.push_back(
            fmt::format("After {:.0f} such starts in a row the hottest plate is above {}.", *count,
                        as_celsius(*limit)));
    } else if (limit && settled && std::isfinite(*settled)) {
        verdict.reasons.push_back(
            fmt::format("However often it starts like this, the hottest plate settles at {} and "
                        "stays below {}.",
                        as_celsius(*settled), as_celsius(*limit)));
    }
    const double cool = value_of(all, "cool_temperature").value_or(0.0);
    const auto faded = value_of(all, "starts_to_fade");
    if (ended.empty() && faded && *faded > 0.0) {
        verdict.reasons.push_back(fmt::format(
            "Going on like this, start {:.0f} could not be finished: friction fades.", *faded));
    }
    if (const auto time = value_of(all, "time_to_cool"); time && std::isfinite(*time)) {
        verdict.reasons.push_back(
            *time > 0.0
                ? fmt::format("After the last start it takes {:.0f} minutes, engine "
                              "idling, until no plate is above {}.",
                              std::ceil(*time / 60.0), as_celsius(cool))
                : fmt::format("After the last start no plate is above {}.", as_celsius(cool)));
    }
    verdict.cautions = clutch_cautions(
        "Repeated starts on a hill only on a closed road with a trained driver; nobody in front of "
        "or behind the vehicle; stop at the first smell of burning and let the clutch cool.");
    return verdict;
}

}  // namespace damper
