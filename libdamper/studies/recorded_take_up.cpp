// SPDX-License-Identifier: MIT
#include "libdamper/measures/take_up.hpp"
#include "libdamper/signals/filter.hpp"
#include "libdamper/studies/recorded_measures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace damper {

namespace {

constexpr double finest = 1e-3;       // [s] between samples
constexpr double turns = 1.0;         // [rad/s]: 10 rpm
constexpr double smooth_slip = 5.0;   // [Hz]
constexpr double spread = 0.1;        // [s] that smoothing spreads an end over
constexpr double small_share = 0.02;  // of the largest slip: more than springs make of its mean
constexpr double large_share = 0.2;   // of it: more than springs make of it from swing to swing
constexpr double quick = 0.05;        // [s] from there to nothing, where it ends at once
constexpr double felt_from = 0.15;    // [m/s2]: of a weaker swing a sensor's noise is too much
constexpr double creeps = 0.3;        // [rad/s] of mean slip: 3 rpm

constexpr std::array<std::string_view, 9> told{
    "slip_time",
    "judder_acceleration",
    "judder_rms",
    "judder_frequency",
    "judder_growth",
    "slip_order_share",
    "slip_order_acceleration",
    "shaft_order_share",
    "shaft_order_acceleration",
};

/// Index from which on the faces stick. Once they do, the two speeds still swing about each other
/// as the disc's springs do, about a mean of nothing. Stick and slip ends at once: a large slip
/// comes to nothing within some hundredths of a second. Else, and where the faces let go again a
/// little with every firing, it is where the smoothed slip dies.
std::size_t stuck_from(const std::vector<double>& slip, double step) {
    const double largest = *std::ranges::max_element(slip);
    const auto within = [&](double time) { return static_cast<std::size_t>(time / step); };
    const std::vector<double> smooth = low_pass_zero_phase(slip, step, smooth_slip);
    std::size_t last = smooth.size();
    while (last > 0 && smooth[last - 1] < small_share * largest) --last;
    const std::size_t from = last > within(spread) ? last - within(spread) : 0;
    for (std::size_t i = last; i-- > from;) {
        if (!(slip[i] > large_share * largest)) continue;
        const std::size_t late = std::min(slip.size(), i + within(quick));
        while (i < late && slip[i] > 0.0) ++i;
        if (i < late) return i;
        break;
    }
    while (last < smooth.size() && smooth[last] > creeps) ++last;
    return last;
}

}  // namespace

std::vector<SeenFigure> take_up_measures(const RecordedCourses& courses) {
    std::vector<SeenFigure> out;
    const RecordedCourse& flywheel = courses.flywheel;
    const RecordedCourse& input = courses.input;
    if (flywheel.empty() || input.empty()) return out;
    const bool felt = !courses.acceleration.empty();
    // An input that stands gives no pulses: it counts as standing before the first.
    double from = flywheel.time.front(), to = std::min(flywheel.time.back(), input.time.back());
    double step = finest;
    if (felt) {
        const std::vector<double>& time = courses.acceleration.time;
        from = std::max(from, time.front());
        to = std::min(to, time.back());
        step = std::max(step, (time.back() - time.front()) / static_cast<double>(time.size() - 1));
    }
    if (!(to - from > 0.5)) return out;
    const auto count = static_cast<std::size_t>((to - from) / step) + 1;
    const std::vector<double> engine = flywheel.at_steps(from, step, count);
    const std::vector<double> driven = input.at_steps(from, step, count);
    std::vector<double> acceleration(count, 0.0);
    if (felt) acceleration = courses.acceleration.at_steps(from, step, count);
    std::size_t first = 0;
    while (first < count && driven[first] < turns) ++first;
    std::vector<double> slip;
    for (std::size_t i = 0; i < count; ++i) slip.push_back(engine[i] - driven[i]);
    if (first + 16 >= count) return out;
    const std::size_t stuck = stuck_from(slip, step);
    double rest = 0.0;
    for (std::size_t i = 0; i < first; ++i) rest += acceleration[i] / static_cast<double>(first);

    TakeUpCourse course;
    course.start();
    double angle = 0.0, speed = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        if (i > first) {
            angle += 0.5 * step * (slip[i] + slip[i - 1]);
            speed += 0.5 * step * (acceleration[i] + acceleration[i - 1] - 2.0 * rest);
        }
        RunSample sample;
        sample.time = from + static_cast<double>(i) * step;
        sample.vehicle_acceleration = acceleration[i] - rest;
        sample.slip_speed = i < stuck ? slip[i] : 0.0;
        sample.slip_angle = angle;
        sample.clamp_load = i < first ? 0.0 : 1.0;
        sample.vehicle_speed = speed;
        sample.flywheel_speed = engine[i];
        course.add(sample);
    }
    RunFacts facts;
    facts.idle_speed = facts.clutch.face_area = 1.0;  // what they are for is not told
    Measured measured;
    course.tell(facts, step, measured);
    const auto judder =
        std::ranges::find(measured.measures, "judder_acceleration", &MeasureValue::name);
    const bool judders = judder != measured.measures.end() && judder->value >= felt_from;
    for (const MeasureValue& one : measured.measures) {
        const bool wanted = std::ranges::find(told, one.name) != told.end();
        if (!wanted || (!felt && one.name != "slip_time")) continue;
        const bool of_swing = one.name == "judder_frequency" || one.name == "judder_growth" ||
                              one.name.ends_with("_order_share");
        if (of_swing && !judders) continue;
        out.push_back({one.name, one.value,
                       one.name == "slip_time" ? input.name : courses.acceleration.name});
    }
    return out;
}

}  // namespace damper
