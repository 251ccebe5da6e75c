// SPDX-License-Identifier: MIT
#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/response.hpp"
#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/filter.hpp"
#include "libdamper/studies/recorded_measures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace damper {

namespace {

constexpr double finest = 0.5e-3;  // [s] between samples
constexpr double corner = 10.0;    // [Hz], to find the change by
constexpr double shortest = 1.0;   // [s] of swing behind the change

constexpr std::array<std::string_view, 5> told{"shuffle_frequency", "damping_ratio", "overshoot",
                                               "acceleration_peak_to_peak", "jerk_peak_to_peak"};

double mean_of(const std::vector<double>& values, std::size_t from, std::size_t to) {
    double sum = 0.0;
    for (std::size_t i = from; i < to; ++i) sum += values[i];
    return to > from ? sum / static_cast<double>(to - from) : 0.0;
}

/// Where the acceleration leaves what it was: back from its steepest place as long as it falls
/// towards the level of before.
std::size_t beginning(const std::vector<double>& acceleration, double step) {
    const std::vector<double> smooth = low_pass_zero_phase(acceleration, step, corner);
    const std::vector<double> slope = derivative(smooth, step);
    const auto steepest =
        std::ranges::max_element(slope, {}, [](double one) { return std::abs(one); });
    auto at = static_cast<std::size_t>(steepest - slope.begin());
    constexpr double started = 0.05;  // of the steepest
    const double side = *steepest > 0.0 ? 1.0 : -1.0;
    while (at > 0 && side * slope[at] > started * std::abs(*steepest)) --at;
    return at;
}

}  // namespace

std::vector<SeenFigure> change_measures(const RecordedCourses& courses) {
    std::vector<SeenFigure> out;
    const RecordedCourse& felt = courses.acceleration;
    if (felt.empty()) return out;
    const double length = felt.time.back() - felt.time.front();
    const double step = std::max(finest, length / static_cast<double>(felt.time.size() - 1));
    const auto count = static_cast<std::size_t>(length / step);
    const std::vector<double> acceleration = felt.at_steps(felt.time.front(), step, count);
    const std::size_t first = beginning(acceleration, step);
    if (static_cast<double>(count - first) * step < shortest || first < 4) return out;

    RunFacts facts;
    facts.acceleration_from = mean_of(acceleration, 0, first);
    facts.acceleration_to = mean_of(acceleration, count - (count - first) / 3, count);
    const AccelerationCourse course{facts, acceleration, step, first};
    // Twice: where it settles to is known better once its swing is.
    bool settles = false;
    for (int again = 0; again < 2; ++again) {
        const auto response = step_response(course);
        if (!response || !response->ringing || !response->first_peak) continue;
        facts.acceleration_to =
            facts.acceleration_from + response->height * response->ringing->level;
        settles = true;
    }
    Measured measured;
    measure_shuffle(course, measured);
    measure_comfort(course, measured);
    for (const MeasureValue& one : measured.measures) {
        const bool known = settles || one.name != "overshoot";
        if (known && std::ranges::find(told, one.name) != told.end()) {
            out.push_back({one.name, one.value, felt.name});
        }
    }
    return out;
}

}  // namespace damper
