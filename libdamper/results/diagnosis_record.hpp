// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <cmath>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// How much a piece of evidence speaks for a cause (above 0) or against it, in powers of ten.
struct DiagnosisEvidence {
    std::string name;    ///< Of the question, or "figures".
    std::string asks;    ///< The question, or what was measured.
    std::string answer;  ///< In words; empty: a group of figures.
    double weight = 0.0;
    /// Of a group of figures: those of the record that say so on their own, most telling first.
    std::vector<std::size_t> figures;
};

/// An answer of the case, in words.
struct DiagnosisAnswer {
    std::string name, asks, says;
    std::string kind;    ///< "asked", "tried", "measured" or "opened" (gearbox off).
    std::string clears;  ///< Seat of the part that was found good by it; else "none".
    /// Whether parts were looked at for it; what a driver says or a trial shows may mean more.
    [[nodiscard]] bool is_of_parts() const { return kind == "measured" || kind == "opened"; }
};

struct DiagnosisCause {
    std::string name, title, seat;
    bool is_of_clutch = false;
    bool is_simulated = false;  ///< Vehicles with it were computed; else answers alone speak of it.
    double prior = 0.0;
    double probability = 0.0;
    std::vector<DiagnosisEvidence> evidence;  ///< Most telling first, whichever way.
    std::string look, mend, beware;
    /// Of each figure: middle of the simulated vehicles, and where 95 % of them lie. NaN: none.
    std::vector<double> middle, low, high;
};

/// A figure that can be measured.
struct DiagnosisFigure {
    std::string name, units, definition;
    std::string shown_by;  ///< "run", "gauges", "press" or "disc bench".
    std::optional<double> seen;
    double error = 0.0;  ///< Standard deviation of what was seen.
    std::string from;    ///< "the complaint", or the recording.
    double healthy = 0.0, healthy_low = 0.0, healthy_high = 0.0;
    Better better = Better::neither;
    /// Whether it lies beyond 95 % of sound vehicles, on the good side. Needs that it was seen.
    [[nodiscard]] bool is_better_than_sound() const {
        return (better == Better::less && *seen < healthy_low) ||
               (better == Better::more && *seen > healthy_high);
    }
    /// Whether it lies among 95 % of sound vehicles without regard to its error.
    [[nodiscard]] bool is_among_sound() const {
        return *seen >= healthy_low && *seen <= healthy_high;
    }
    /// Whether 95 % of sound vehicles show what was seen, within its error, or it is better.
    /// Needs that it was seen.
    [[nodiscard]] bool is_as_sound() const {
        return std::isfinite(healthy) &&
               (is_better_than_sound() ||
                (*seen >= healthy_low - error && *seen <= healthy_high + error));
    }
    /// Whether it was seen, and is not as with sound vehicles.
    [[nodiscard]] bool is_unlike_sound() const { return seen && !is_as_sound(); }
};

/// What to find out next.
struct DiagnosisTest {
    std::string name, asks, how, caution;
    std::string kind;  ///< "asked", "tried", "measured" or "opened" (gearbox off).
    double minutes = 0.0;
    double bits = 0.0;  ///< Expected information about the cause.
    /// Answer, and the cause that would then lead, with its probability.
    struct Outcome {
        std::string says;
        double chance = 0.0;
        std::string leads;
        double probability = 0.0;
    };
    std::vector<Outcome> outcomes;
    std::vector<std::size_t> figures;     ///< Of the record, that it would measure.
    std::vector<std::string> steps = {};  ///< What there is to do, a sentence or two each.
    [[nodiscard]] bool needs_gearbox_off() const { return kind == "opened"; }
};

/// A disc that might be fitted instead, in the runs that were tried.
struct DiagnosisOption {
    std::string disc, title;
    bool fitted = false;
    Grade grade = Grade::good;               ///< In all runs, without what is out of reach.
    Grade in_run = Grade::good;              ///< In the run of the complaint alone.
    std::optional<Grade> with_cause;         ///< There, with the likeliest cause in the vehicle.
    bool helps = false;                      ///< Clearly better in that run than the fitted one.
    bool spoils = false;                     ///< Misses a limit that the fitted one meets.
    std::vector<std::string> better, worse;  ///< Against the fitted one, in words.
};

/// A case with its answer.
struct DiagnosisRecord {
    RunIdentity identity;
    std::string title, origin, vehicle, vehicle_class, symptom, words, mileage, notes, truth;
    std::string run;  ///< Scenario of the figures, or what was calculated; or empty.
    std::vector<DiagnosisAnswer> answers;
    std::size_t unanswered = 0;
    std::vector<DiagnosisFigure> figures;
    std::vector<DiagnosisCause> causes;       ///< Likeliest first.
    double clutch_probability = 0.0;          ///< Of all causes that sit in the clutch.
    std::vector<std::string> left_out;        ///< Causes that this vehicle cannot have, and why.
    double open_bits = 0.0;                   ///< What is not known of the cause: entropy.
    std::vector<DiagnosisTest> tests;         ///< Most information for its time first.
    std::vector<DiagnosisOption> options;     ///< Best first; empty where no disc was tried.
    std::string disc_run;                     ///< Scenario of the complaint; empty: has none.
    std::vector<std::string> disc_runs;       ///< All scenarios that discs were tried in.
    std::vector<std::string> disc_commands;   ///< What gives the same figures, run by run.
    std::vector<std::string> fitted_reasons;  ///< Why the fitted disc is not good, in words.
    std::vector<std::string> out_of_reach;    ///< Limits that no disc of the class meets, in words.
    bool as_sound = false;                    ///< All that was measured is as in sound vehicles.
    std::vector<std::string> strange;         ///< Figures far from every simulated vehicle.
    std::vector<std::string> notes_on_data;   ///< Quality of recordings and of simulation.
    int vehicles = 0;                         ///< Simulated for each cause.
    /// The answer to a question; null if there is none.
    [[nodiscard]] const DiagnosisAnswer* answer_to(const std::string& question) const {
        for (const DiagnosisAnswer& one : answers) {
            if (one.name == question) return &one;
        }
        return nullptr;
    }
};

}  // namespace damper
