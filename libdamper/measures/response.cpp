// SPDX-License-Identifier: MIT
#include "libdamper/measures/response.hpp"

#include "libdamper/signals/filter.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <span>

namespace damper {
namespace {

constexpr double corner = 30.0;        // Hz
constexpr double peak_swing = 0.05;    // of the step
constexpr double ripple_swing = 0.02;  // of the step
constexpr double least_explained = 0.6;

/// The highest top. In a decaying swing that is the first one; a stall on the way there, while a
/// lash or the disc's soft stage is crossed, makes a lower top that is not meant.
std::optional<Extremum> first_peak_of(const std::vector<double>& values) {
    std::optional<Extremum> highest;
    for (const Extremum& point : find_extrema(values, peak_swing)) {
        if (point.top && point.value > 0.5 && (!highest || point.value > highest->value)) {
            highest = point;
        }
    }
    return highest;
}

/// Fits the ringing, first over all that is left of the run, then over six periods only: what
/// comes later is drift.
void fit_ringing(StepResponse& response) {
    if (!response.first_peak) {
        response.no_ringing = "the acceleration has no first peak";
        return;
    }
    const std::span<const double> after =
        std::span(response.values).subspan(response.first_peak->index);
    if (find_extrema(after, ripple_swing).size() < 2) {
        response.no_ringing = "the acceleration dies within one swing, or the run ends before";
        return;
    }
    std::optional<DampedSine> fit = fit_damped_sine(after, response.step, 0.5, 15.0);
    if (fit) {
        const auto six = static_cast<std::size_t>(6.0 / (fit->frequency * response.step));
        if (six < after.size()) {
            fit = fit_damped_sine(after.first(six), response.step, 0.5, 15.0);
        }
    }
    if (!fit || fit->explained < least_explained || fit->amplitude < ripple_swing) {
        response.no_ringing = "the acceleration does not follow one decaying oscillation";
        return;
    }
    response.ringing = fit;
}

/// Straight line that the response settles to.
struct Line {
    double level = 0.0;
    double slope = 0.0;  // [1/s]
    double zero = 0.0;   // time of the level, from the change on [s]
    [[nodiscard]] double at(double t) const { return level + slope * (t - zero); }
};

Line settled_line(const StepResponse& response) {
    if (response.ringing) {
        return {response.ringing->level, response.ringing->slope,
                response.step * static_cast<double>(response.first_peak->index)};
    }
    // Without an oscillation: least squares over the second half.
    const std::size_t count = response.values.size();
    const std::size_t first = count / 2;
    const double middle = 0.5 * response.step * static_cast<double>(first + count - 1);
    double sum = 0.0;
    double product = 0.0;
    double squares = 0.0;
    for (std::size_t i = first; i < count; ++i) {
        const double t = response.step * static_cast<double>(i) - middle;
        sum += response.values[i];
        product += response.values[i] * t;
        squares += t * t;
    }
    return {sum / static_cast<double>(count - first), squares > 0.0 ? product / squares : 0.0,
            middle};
}

/// Time after the change from which on the response stays within 10 % of its line; nothing if it
/// is still outside at the end, or by its fitted decay would be again.
std::optional<double> settle_time(const StepResponse& response) {
    constexpr double band = 0.1;
    const Line line = settled_line(response);
    const std::size_t count = response.values.size();
    std::size_t outside = 0;
    bool any = false;
    for (std::size_t i = 0; i < count; ++i) {
        if (std::abs(response.values[i] - line.at(response.step * static_cast<double>(i))) > band) {
            outside = i;
            any = true;
        }
    }
    if (any && outside + 1 >= count) return std::nullopt;
    if (response.ringing) {
        const double left = response.step * static_cast<double>(count - response.first_peak->index);
        if (response.ringing->amplitude * std::exp(-response.ringing->decay * left) > band) {
            return std::nullopt;
        }
    }
    return any ? response.step * static_cast<double>(outside + 1) : 0.0;
}

/// Time after the change at which the response first reaches `level`.
std::optional<double> first_reach(const StepResponse& response, double level) {
    for (std::size_t i = 0; i < response.values.size(); ++i) {
        if (response.values[i] < level) continue;
        if (i == 0) return 0.0;
        const double before = response.values[i - 1];
        const double part = (level - before) / (response.values[i] - before);
        return response.step * (static_cast<double>(i - 1) + part);
    }
    return std::nullopt;
}

void add_ringing(const StepResponse& response, Measured& measured) {
    if (!response.ringing) {
        measured.notes.push_back(
            fmt::format("No shuffle frequency and damping: {}.", response.no_ringing));
        return;
    }
    const DampedSine& ringing = *response.ringing;
    add_measure(
        measured, "shuffle_frequency", "Hz", Better::neither, ringing.frequency,
        "Frequency of the decaying oscillation of the vehicle's acceleration (30 Hz low-pass) "
        "after "
        "its first peak: least-squares fit of a damped sine on a straight line, over at most six "
        "periods.");
    add_measure(
        measured, "log_decrement", "1", Better::more, ringing.log_decrement(),
        "Natural logarithm of the ratio of two successive peaks of that oscillation, from the same "
        "fit.");
    add_measure(measured, "damping_ratio", "1", Better::more, ringing.damping_ratio(),
                "Damping ratio that belongs to the logarithmic decrement d: d/sqrt(4 pi^2 + d^2).");
}

void add_settling(const StepResponse& response, Measured& measured) {
    const std::optional<double> settled = settle_time(response);
    if (!settled) {
        measured.notes.emplace_back(
            "No settle time: the acceleration is not within 10 % of the step when the run ends.");
        return;
    }
    add_measure(
        measured, "settle_time", "s", Better::less, *settled,
        "Time from the beginning of the change until the vehicle's acceleration (30 Hz low-pass) "
        "stays within 10 % of the step about the line that it settles to.");
    if (response.ringing) {
        add_measure(measured, "settle_cycles", "1", Better::less,
                    *settled * response.ringing->frequency,
                    "Settle time in periods of the shuffle.");
    }
}

}  // namespace

std::optional<StepResponse> step_response(const AccelerationCourse& course) {
    const RunFacts& facts = course.facts;
    StepResponse response;
    response.height = facts.acceleration_to - facts.acceleration_from;
    response.step = course.step;
    if (std::abs(response.height) < 1e-3 || course.first + 16 > course.acceleration.size()) {
        return std::nullopt;
    }
    const std::vector<double> smooth =
        low_pass_zero_phase(course.acceleration, response.step, corner);
    for (std::size_t i = course.first; i < smooth.size(); ++i) {
        response.values.push_back((smooth[i] - facts.acceleration_from) / response.height);
    }
    response.first_peak = first_peak_of(response.values);
    fit_ringing(response);
    return response;
}

void measure_shuffle(const AccelerationCourse& course, Measured& measured) {
    const std::optional<StepResponse> response = step_response(course);
    if (!response) {
        measured.notes.emplace_back(
            "The run makes no step of the vehicle's acceleration: no shuffle.");
        return;
    }
    add_ringing(*response, measured);
    if (response->first_peak) {
        add_measure(
            measured, "overshoot", "1", Better::less, response->first_peak->value - 1.0,
            "First peak of the vehicle's acceleration (30 Hz low-pass) beyond the acceleration "
            "that "
            "the new torque would hold, over the step.");
        const auto begin =
            response->values.begin() + static_cast<std::ptrdiff_t>(response->first_peak->index);
        const auto [low, high] = std::minmax_element(begin, response->values.end());
        add_measure(
            measured, "acceleration_peak_to_peak", "m/s2", Better::less,
            (*high - *low) * std::abs(response->height),
            "Largest minus smallest acceleration of the vehicle (30 Hz low-pass) from its first "
            "peak "
            "on.");
    } else {
        measured.notes.emplace_back("No overshoot: the acceleration has no first peak.");
    }
    add_settling(*response, measured);
    if (const std::optional<double> delay = first_reach(*response, 0.1)) {
        add_measure(measured, "response_delay", "s", Better::less, *delay,
                    "Time from the beginning of the change until the vehicle's acceleration (30 Hz "
                    "low-pass) has gone 10 % of the step.");
    }
}

}  // namespace damper
