// SPDX-License-Identifier: MIT
#include "libdamper/measures/take_up.hpp"
#include "libdamper/recordings/slip.hpp"
#include "libdamper/studies/recorded_measures.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace damper {

namespace {

constexpr double finest = 1e-3;  // [s] between samples

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
    const auto [first, stuck] = slip_part(engine, driven, step);
    if (first + 16 >= count) return out;
    std::vector<double> slip;
    for (std::size_t i = 0; i < count; ++i) slip.push_back(engine[i] - driven[i]);
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
    const bool judders = judder != measured.measures.end() && judder->value >= judder_felt_from;
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
