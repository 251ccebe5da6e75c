// SPDX-License-Identifier: MIT
#include "libdamper/fit/fit_notes.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double misfit_of_note = 1.5;   // standard deviations of a group
constexpr double narrow = 1.5 * degree;  // twist, to be asked for its unit
constexpr double loose = 0.5;            // half interval over value, to be said

double half(const Estimate& one) {
    return 0.5 * (one.high - one.low);
}

void note_reach(const DiscFit& fit, std::vector<std::string>& notes) {
    const auto stages = static_cast<int>(fit.stages.size());
    const auto side = [&](const char* name, int reach, auto end, double far) {
        if (reach == 0) {
            notes.push_back(
                fmt::format("The {0} side was not measured: stiffness and ends there are those of "
                            "the other side.",
                            name));
            return;
        }
        if (reach <= stages) {
            notes.push_back(fmt::format(
                "The loop ends at {:.2f} deg inside stage {} on the {} side: the end of that stage "
                "is not known and was set to {:.2f} deg, beyond what was measured.",
                far / degree, reach, name, end(static_cast<std::size_t>(reach) - 1) / degree));
        }
        for (int s = reach; s < stages; ++s) {
            notes.push_back(fmt::format(
                "Stage {} was not reached on the {} side: its stiffness and travel there are those "
                "of the other side.",
                s + 1, name));
        }
    };
    double low = 0.0, high = 0.0;
    for (const FittedRun& run : fit.runs) {
        for (const double twist : run.twist) {
            low = std::min(low, twist);
            high = std::max(high, twist);
        }
    }
    side(
        "drive", fit.reach.drive, [&](std::size_t s) { return fit.shape.drive_end(s); }, high);
    side(
        "coast", fit.reach.coast, [&](std::size_t s) { return fit.shape.coast_end(s); }, -low);
    if (fit.stop_stiffness.known == Known::open) {
        notes.push_back(fmt::format(
            "No stop was reached: the stiffness of the stops is not known and was set to {:.0f} N "
            "m/deg, 20 times the stiffest stage (common practice, no source).",
            fit.stop_stiffness.value * degree));
    }
}

void note_unit(const DiscFit& fit, std::vector<std::string>& notes) {
    double widest = 0.0;
    for (const FittedRun& run : fit.runs) {
        if (run.twist.empty()) continue;
        const auto [low, high] = std::minmax_element(run.twist.begin(), run.twist.end());
        widest = std::max(widest, *high - *low);
    }
    if (widest >= narrow) return;
    notes.push_back(
        fmt::format("The twist goes through {:.2f} deg only, little for a disc with a damper: is "
                    "its unit right? {:.2f} rad would be {:.1f} deg.",
                    widest / degree, widest / degree, widest / degree / degree));
}

void note_zero(const DiscFit& fit, std::vector<std::string>& notes) {
    const FittedStage& first = fit.stages.front();
    if (first.travel.known != Known::measured) return;
    if (half(first.drive_end) > 0.3 * degree && half(first.drive_end) > 3.0 * half(first.travel)) {
        notes.push_back(fmt::format(
            "Where zero twist lies hangs on the zero of the torque sensor: the first stage travels "
            "{:.2f} ± {:.2f} deg from end to end, but how much of it is drive side is known to ± "
            "{:.2f} deg only. A run inside the first stage with a fine torque range tells.",
            first.travel.value / degree, half(first.travel) / degree,
            half(first.drive_end) / degree));
    }
}

void note_loose(const DiscFit& fit, std::vector<std::string>& notes) {
    const auto check = [&](const Estimate& one, const std::string& what) {
        if (one.known == Known::measured && half(one) > loose * one.value) {
            notes.push_back(fmt::format("The {} is known to ± {:.0f} % only.", what,
                                        100.0 * half(one) / one.value));
        }
    };
    for (std::size_t s = 0; s < fit.stages.size(); ++s) {
        const FittedStage& stage = fit.stages[s];
        check(stage.drive_stiffness, fmt::format("drive stiffness of stage {}", s + 1));
        check(stage.coast_stiffness, fmt::format("coast stiffness of stage {}", s + 1));
        check(stage.hysteresis, fmt::format("hysteresis of stage {}", s + 1));
        if (stage.hysteresis.known == Known::none) {
            notes.push_back(fmt::format(
                "Friction of stage {} cannot be told from none: at most {:.3g} N m of width.",
                s + 1, stage.hysteresis.high));
        }
    }
    check(fit.stop_stiffness, "stiffness of the stops");
    if (fit.friction_grip.known == Known::open) {
        notes.push_back(
            fmt::format("The loop does not tell how stiff a sticking friction washer is: {:.0f} "
                        "times its stage, "
                        "held near the usual 40 (common practice, no source).",
                        fit.friction_grip.value));
    }
}

}  // namespace

std::vector<std::string> fit_notes(const DiscFit& fit) {
    std::vector<std::string> notes;
    note_reach(fit, notes);
    note_unit(fit, notes);
    note_zero(fit, notes);
    note_loose(fit, notes);
    for (const FittedRun& run : fit.runs) {
        if (run.loops < 2) {
            notes.push_back(fmt::format(
                "{}: one loop alone does not tell a drift of the torque sensor from friction; none "
                "was assumed.",
                run.name));
        }
        if (run.left_out > 0) {
            notes.push_back(
                fmt::format("{}: {} rows before the first turning point were left out, since "
                            "nobody knows where "
                            "the friction began.",
                            run.name, run.left_out));
        }
        if (run.passed_over > 0) {
            notes.push_back(fmt::format(
                "{}: of {} loops six were fitted, spread over the run; {} rows of the others were "
                "passed over.",
                run.name, run.loops, run.passed_over));
        }
        if (run.misfit > misfit_of_note) {
            notes.push_back(fmt::format(
                "{}: what the disc leaves is {:.1f} times the noise; the loop is not quite that of "
                "stages in series with constant friction, and the intervals are too narrow.",
                run.name, run.misfit));
        }
    }
    return notes;
}

}  // namespace damper
