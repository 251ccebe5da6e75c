// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/quantity/quantity.hpp"

#include <array>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Something with a weight relative to its neighbours.
using Weighted = std::pair<std::string, double>;

/// A choice of a question.
struct Choice {
    std::string name;
    std::string says;  ///< In a person's words.
    Ratio usual;       ///< Weight of the answer where a cause says nothing of the question.
    /// Part of the clutch, as a seat, that needs no replacing by what was found; else "none".
    std::string clears = "none";
};

/// What a driver or workshop can be asked, or can try.
struct Question {
    std::string name;
    std::string asks;
    std::string kind;  ///< "asked", "tried", "measured" or "opened" (gearbox off).
    Ratio minutes;     ///< What the answer costs.
    std::string how;
    std::string caution;  ///< Where it can hurt; else empty.
    /// A measure that tells the same: where it was measured the answer says nothing more. Or empty.
    std::string same_as;
    std::vector<Choice> choices;
};

/// All questions.
struct QuestionList {
    std::string title;
    std::string origin;
    std::vector<Question> questions;
    [[nodiscard]] const Question* find(const std::string& name) const {
        for (const Question& one : questions) {
            if (one.name == name) return &one;
        }
        return nullptr;
    }
};

/// The run in which recordings of a complaint are made, for one class of vehicles.
struct ComplaintRun {
    std::string vehicle_class;
    std::string scenario;  ///< Name of a scenario; or empty.
    std::string cover;     ///< Name of a vehicle whose clutch is calculated; or empty.
    int vehicles = 0;      ///< Simulated for each cause at most, where a run is long; 0: as asked.
    std::vector<std::pair<std::string, std::string>> changes;
};

/// A figure that can be measured.
struct ComplaintFigure {
    std::string measure;
    /// "run": recordings of that run; "gauges" on the vehicle with nothing removed; "press": cover
    /// and facings on the bench; "disc bench": the disc turned slowly.
    std::string shown_by;
    Ratio error;        ///< Standard deviation of the measurement, as a share of the value …
    std::string floor;  ///< … and at least this, with the unit of the measure.
};

/// What answers a cause brings about: weights of the choices of one question.
struct CauseAnswers {
    std::string question;
    std::vector<Weighted> choices;
};

/// A cause that a complaint may have.
struct CandidateCause {
    std::string cause;    ///< Of models/causes, which the engine simulates; or empty.
    std::string outside;  ///< A name of its own for a cause that no torsional model shows.
    std::string title;
    std::string seat;
    Ratio weight;  ///< How often among complaints of this kind, relative.
    std::string look, mend, beware;
    std::vector<Weighted> classes;                            ///< Factors on the weight.
    std::vector<std::pair<std::string, std::string>> ranges;  ///< Key, "times 3..10".
    std::vector<CauseAnswers> answers;
    [[nodiscard]] const std::string& name() const { return cause.empty() ? outside : cause; }
};

/// What is known of one kind of complaint.
struct ComplaintKind {
    std::string title, origin;
    std::string symptom;
    std::string words;
    /// What recordings of causes show that cannot be simulated: "sound" vehicles, as the complaint
    /// is one of the ear, or "any" of the simulated ones, as it must be in the recording.
    std::string unsimulated;
    std::vector<std::string> questions;
    std::vector<ComplaintRun> runs;
    std::vector<ComplaintFigure> figures;
    /// Key and "times 0.9..1.1" or "70 degC..90 degC": where 95 % of sound vehicles lie.
    std::vector<std::pair<std::string, std::string>> scatter;
    std::vector<CandidateCause> causes;
};

/// Where causes can sit.
inline constexpr std::array seats_of_causes{"disc",    "cover",  "facings", "flywheel",
                                            "release", "engine", "gearbox", "axle",
                                            "mounts",  "wheels", "use"};

/// Of these what a repair can renew.
[[nodiscard]] inline std::vector<std::string> renewable_parts() {
    std::vector<std::string> out(seats_of_causes.begin(), seats_of_causes.end());
    std::erase(out, "use");
    return out;
}

/// Whether a cause that sits there is the clutch's: disc, cover, facings, release, flywheel.
[[nodiscard]] inline bool is_of_clutch(const std::string& seat) {
    return seat == "disc" || seat == "cover" || seat == "facings" || seat == "release" ||
           seat == "flywheel";
}

/// The vehicle of a complaint after its repair. Answers, figures and recordings are those of then.
struct Repair {
    std::string done;                  ///< In words.
    std::string complaint;             ///< "gone", "still there" or "unknown".
    std::vector<std::string> renewed;  ///< Seats whose parts are new, see seats_of_causes().
    std::vector<std::pair<std::string, std::string>> changes;  ///< What is another part now.
    std::vector<std::pair<std::string, std::string>> answers, measured, recordings;
};

/// A case: what is complained of and what is known of it.
struct Complaint {
    std::string name;  ///< File name without extension.
    std::string title, origin;
    std::string vehicle;  ///< Name or file.
    std::string symptom;
    std::string mileage, notes;
    int flywheel_teeth = 0, input_shaft_teeth = 0;  ///< Of wheels whose pulses are given; 0: found.
    std::string truth;  ///< Of demonstrations: what was put in. Never used for a conclusion.
    std::vector<std::pair<std::string, std::string>> changes;   ///< State of the vehicle.
    std::vector<std::pair<std::string, std::string>> answers;   ///< Question, choice.
    std::vector<std::pair<std::string, std::string>> measured;  ///< Measure, value with unit.
    /// Kind ("flywheel", "input_shaft", "sound", …) and file.
    std::vector<std::pair<std::string, std::string>> recordings;
    std::optional<Repair> repair;
};

}  // namespace damper
