// SPDX-License-Identifier: MIT
#include "libdamper/measures/comfort.hpp"

#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/filter.hpp"
#include "libdamper/signals/fore_aft_weighting.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>
#include <vector>

namespace damper {
namespace {

constexpr double jerk_corner = 10.0;  // Hz
constexpr double dose_window = 3.0;   // s

void add_jerk(std::span<const double> acceleration, std::size_t first, double step,
              Measured& measured) {
    const std::vector<double> jerk = jerk_of(acceleration, step);
    const auto [low, high] =
        std::minmax_element(jerk.begin() + static_cast<std::ptrdiff_t>(first), jerk.end());
    add_measure(
        measured, "jerk_peak_to_peak", "m/s3", Better::less, *high - *low,
        "Largest minus smallest rate of change of the vehicle's acceleration, low-passed at 10 Hz "
        "(Butterworth, both ways) before it is differentiated, from the beginning of the change "
        "on.");
}

void add_dose(std::span<const double> acceleration, std::size_t first, double step,
              Measured& measured) {
    const WeightedSignal weighted = weight_wd(acceleration, step);
    const std::size_t begin = first * static_cast<std::size_t>(weighted.refinement);
    const auto window = static_cast<std::size_t>(std::lround(dose_window / weighted.step)) + 1;
    const std::span<const double> rest = std::span(weighted.values).subspan(begin);
    const std::size_t count = std::min(window, rest.size());
    add_measure(
        measured, "vibration_dose_value", "1", Better::less,
        vibration_dose_value(rest.first(count), weighted.step),
        "Fourth root of the integral of the fourth power of the vehicle's acceleration, weighted "
        "for fore-and-aft motion (Wd, ISO 2631-1), over 3 s from the beginning of the change or to "
        "the end of the run. The number is that of metre per second to the power 1.75, a unit that "
        "unit readers do not know.");
}

}  // namespace

std::vector<double> jerk_of(std::span<const double> acceleration, double step) {
    return derivative(low_pass_zero_phase(acceleration, step, jerk_corner), step);
}

void add_jerk_signal(SignalSet& signals) {
    if (!signals.has("vehicle_acceleration") || !(signals.step() > 0.0)) return;
    signals.signals.push_back({"vehicle_jerk", "m/s3",
                               "Vehicle jerk (acceleration low-passed at 10 Hz, differentiated)",
                               jerk_of(signals.at("vehicle_acceleration").values, signals.step())});
}

void measure_comfort(const AccelerationCourse& course, Measured& measured) {
    if (!(course.step > 0.0) || course.first + 2 > course.acceleration.size()) return;
    add_jerk(course.acceleration, course.first, course.step, measured);
    add_dose(course.acceleration, course.first, course.step, measured);
}

}  // namespace damper
