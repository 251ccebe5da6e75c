// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// A free value as the measured figures tell it.
struct MatchValue {
    std::string name;   ///< "disc.stages[0].hysteresis", "engine.cylinder_gains[1]".
    std::string units;  ///< "1" where it multiplies.
    bool multiplies = false;
    double range_low = 0.0, range_high = 0.0;
    double value = 0.0;
    double low = 0.0, high = 0.0;  ///< 95 %, the other values set as well as they can be.
    bool low_open = false, high_open = false;  ///< The interval goes to the end of the range.
    /// "measured", "at least", "at most", or "open": the figures do not tell it.
    [[nodiscard]] const char* known() const {
        return low_open && high_open ? "open"
               : low_open            ? "at most"
               : high_open           ? "at least"
                                     : "measured";
    }
};

/// A figure of the run, measured and as the model gives it.
struct MatchFigure {
    std::string name, units, definition;
    std::optional<double> seen;
    double error = 0.0;    ///< Of the measurement, standard deviation.
    double scatter = 0.0;  ///< Of the run itself between nearly the same values.
    std::string from;
    double described = 0.0;  ///< As the files say.
    double matched = 0.0;    ///< With the values found.
    double off = 0.0;        ///< Matched less seen, in errors of both kinds together.
};

/// A combination of values that the figures do not tell: going along it from the values found
/// changes no figure by more than its error.
struct MatchTie {
    struct Part {
        std::size_t value = 0;
        double share = 0.0;           ///< Of the direction, in ranges, sign and all.
        double from = 0.0, to = 0.0;  ///< Where a walk along it leads; may leave the range.
    };
    std::vector<Part> parts;  ///< Largest first.
};

/// What another figure would bring if it were measured as well.
struct MatchFurther {
    std::string measure, units;
    double error = 0.0;           ///< That it is taken to have.
    std::size_t value = 0;        ///< The value that it helps most …
    double from = 0.0, to = 0.0;  ///< … and its standard deviation now and then, in ranges.
};

/// Values of a model from what was measured.
struct MatchRecord {
    RunIdentity identity;
    std::string run;  ///< For people: "damper run car_idle_hot".
    bool complete = false;
    std::vector<MatchValue> values;
    std::vector<MatchFigure> figures;
    std::vector<MatchTie> ties;
    std::vector<MatchFurther> further;
    double chi_square = 0.0;
    double chi_square_described = 0.0;  ///< With nothing changed.
    int freedom = 0;
    double chance = std::numeric_limits<double>::quiet_NaN();  ///< Of so much by errors alone.
    std::vector<std::pair<std::string, std::string>> state;    ///< Changes that came before.
    /// Key and value with which the scenario shows the figures as well as it can.
    std::vector<std::pair<std::string, std::string>> changes;
    std::vector<std::string> notes;
    std::size_t evaluations = 0;

    /// False: no vehicle in these ranges shows these figures.
    [[nodiscard]] bool explained() const {
        constexpr double least_chance = 0.01;
        constexpr double same_of_one = 6.63;  // chi-square with that chance, one degree of freedom
        return freedom > 0 ? !(chance < least_chance) : chi_square < same_of_one;
    }
};

}  // namespace damper
