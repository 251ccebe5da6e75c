// SPDX-License-Identifier: MIT
#include "libdamper/studies/recorded_measures.hpp"

#include "libdamper/measures/order_course.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/enough.hpp"
#include "libdamper/recordings/shaft_motion.hpp"
#include "libdamper/signals/band_envelope.hpp"
#include "libdamper/signals/extrema.hpp"
#include "libdamper/signals/filter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <string_view>
#include <utility>

namespace damper {

namespace {

void take_shaft(RecordedCourse& course, const std::string& name, std::vector<double> time,
                std::vector<double> speed) {
    if (course.empty() && time.size() >= 4) course = {name, std::move(time), std::move(speed), 0.0};
}

/// Pulses, as speeds between the teeth.
void take_pulses(const WorkshopRecording& recording, std::size_t index,
                 const RecordingRequest& request, RecordedCourses& out) {
    RecordingFindings scratch;
    for (ShaftMotion& motion : shafts_of(recording, index, request, scratch)) {
        RecordedCourse& course = motion.shaft == RecordedShaft::flywheel ? out.flywheel : out.input;
        take_shaft(course, recording.name, std::move(motion.time), std::move(motion.speed));
        course.averaged_over = motion.averaged_over;
    }
}

/// Power of what is there all the time: of means over 1.5 ms, which a knock hardly outlasts, the
/// quietest fiftieth. How far below the mean those lie depends on how much of the time is quiet; a
/// fifth is taken for crowded knocks, so that it is the tenth that a noise alone would have.
/// Quantile of a mean of noise (gamma distribution): E. B. Wilson, M. M. Hilferty, The distribution
/// of chi-square, 1931 (recalled).
double quiet_power(const std::vector<double>& power, double step, double bandwidth) {
    constexpr double over = 1.5e-3, quietest = 0.02, tenth = -1.2816;
    const auto width = std::max<std::size_t>(1, static_cast<std::size_t>(over / step));
    std::vector<double> means;
    double sum = 0.0;
    for (std::size_t i = 0; i < power.size(); ++i) {
        sum += power[i];
        if (i + 1 < width) continue;
        means.push_back(sum / static_cast<double>(width));
        sum -= power[i + 1 - width];
    }
    const auto place =
        means.begin() + static_cast<std::ptrdiff_t>(quietest * static_cast<double>(means.size()));
    std::nth_element(means.begin(), place, means.end());
    const double spread = 1.0 / (9.0 * std::max(1.0, bandwidth * over));
    return std::max(0.0, *place) / std::pow(1.0 - spread + tenth * std::sqrt(spread), 3.0);
}

/// Both shafts at even steps, without what swings faster than teeth can show, and their slopes.
struct Smoothed {
    double from = 0.0, step = 0.0;
    std::vector<double> engine, driven, engine_bend, driven_bend;
};

Smoothed smoothed(const RecordedCourses& courses) {
    const RecordedCourse& flywheel = courses.flywheel;
    const RecordedCourse& input = courses.input;
    constexpr double finest = 0.2e-3;     // [s]
    constexpr double of_the_rate = 0.25;  // of values a second; the cubics between them pass that
    Smoothed out;
    out.from = std::max(flywheel.time.front(), input.time.front());
    const double to = std::min(flywheel.time.back(), input.time.back());
    if (!(to - out.from > 0.1)) return out;
    const auto spacing = [](const RecordedCourse& one) {
        return (one.time.back() - one.time.front()) / static_cast<double>(one.time.size() - 1);
    };
    const double coarser = std::max(spacing(flywheel), spacing(input));
    out.step = std::max(finest, 0.5 * coarser);
    const auto count = static_cast<std::size_t>((to - out.from) / out.step);
    const auto passed = [&](const RecordedCourse& one) {
        return low_pass_zero_phase(one.at_steps(out.from, out.step, count), out.step,
                                   of_the_rate / spacing(one), 4);
    };
    out.engine = passed(flywheel);
    out.driven = passed(input);
    out.engine_bend = derivative(out.engine, out.step);
    out.driven_bend = derivative(out.driven, out.step);
    return out;
}

}  // namespace

std::vector<double> RecordedCourse::at_steps(double from, double step, std::size_t count) const {
    return four_point_at_steps(time, value, from, step, count);
}

RecordedCourses sort_out(const std::vector<WorkshopRecording>& recordings,
                         const RecordingRequest& request) {
    RecordedCourses out;
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const WorkshopRecording& one = recordings[i];
        switch (one.kind) {
            case RecordingKind::speed:
                if (!one.flywheel.empty())
                    take_shaft(out.flywheel, one.name, one.time, one.flywheel);
                if (!one.input.empty()) take_shaft(out.input, one.name, one.time, one.input);
                break;
            case RecordingKind::pulses:
                take_pulses(one, i, request, out);
                break;
            case RecordingKind::acceleration: {
                if (one.time.size() < 4) break;
                const double step =
                    (one.time.back() - one.time.front()) / static_cast<double>(one.time.size() - 1);
                const bool slow = step > 1.0 / enough::of_a_case;
                if (one.place == AccelerometerPlace::vehicle ||
                    (one.place == AccelerometerPlace::by_rate && slow)) {
                    take_shaft(out.acceleration, one.name, one.time, one.acceleration);
                } else if (out.sound.empty()) {
                    out.sound_name = one.name;
                    out.sound = one.acceleration;
                    out.sound_step = step;
                }
                break;
            }
            case RecordingKind::sound:
                out.sound_name = one.name;
                out.sound = one.sound;
                out.sound_step = one.step;
                break;
        }
    }
    return out;
}

std::vector<SeenFigure> sweep_measures(const RecordedCourses& courses, int cylinders) {
    std::vector<SeenFigure> out;
    if (courses.flywheel.empty() || courses.input.empty() || cylinders < 1) return out;
    const auto all = smoothed(courses);
    if (all.engine.empty()) return out;
    OrderCourse course(0.5 * cylinders);
    double angle = 0.0;
    for (std::size_t i = 0; i < all.engine.size(); ++i) {
        if (i > 0) angle += 0.5 * all.step * (all.engine[i] + all.engine[i - 1]);
        RunSample sample;
        sample.time = all.from + static_cast<double>(i) * all.step;
        sample.crank_angle = angle;
        sample.flywheel_speed = all.engine[i];
        sample.input_shaft_speed = all.driven[i];
        sample.flywheel_acceleration = all.engine_bend[i];
        sample.input_shaft_acceleration = all.driven_bend[i];
        course.add(sample);
    }
    Measured measured;
    course.tell(RunFacts{}, measured);
    constexpr std::array<std::string_view, 5> told{
        "input_shaft_acceleration_largest", "input_shaft_acceleration_largest_speed",
        "transfer_largest", "transfer_largest_speed", "isolation_speed"};
    for (const MeasureValue& one : measured.measures) {
        if (std::ranges::find(told, one.name) != told.end()) {
            out.push_back({one.name, one.value, courses.input.name});
        }
    }
    return out;
}

std::vector<SeenFigure> start_measures(const RecordedCourses& courses, double idle_speed) {
    std::vector<SeenFigure> out;
    const RecordedCourse& flywheel = courses.flywheel;
    if (flywheel.empty() || !(idle_speed > 0.0)) return out;
    constexpr double turns = 1.0;  // [rad/s], 10 rpm
    std::size_t first = 0;
    while (first < flywheel.value.size() && flywheel.value[first] < turns) ++first;
    // Once it turns already, nothing tells when it began to.
    std::size_t idle = first;
    while (idle < flywheel.value.size() && flywheel.value[idle] < idle_speed) ++idle;
    if (first > 0 && idle < flywheel.value.size()) {
        out.push_back({"time_to_idle", flywheel.time[idle] - flywheel.time[first], flywheel.name});
    }
    if (courses.input.empty()) return out;
    const Smoothed all = smoothed(courses);
    const auto largest =
        std::ranges::max_element(all.driven_bend, {}, [](double one) { return std::abs(one); });
    if (largest == all.driven_bend.end()) return out;
    out.push_back({"passage_acceleration", std::abs(*largest), courses.input.name});
    out.push_back({"passage_acceleration_speed",
                   all.engine[static_cast<std::size_t>(largest - all.driven_bend.begin())],
                   courses.input.name});
    return out;
}

std::vector<SeenFigure> running_measures(const RecordedCourses& courses,
                                         const RecordingRequest& request) {
    std::vector<SeenFigure> out;
    const RecordedCourse& flywheel = courses.flywheel;
    if (flywheel.empty()) return out;
    // Single intervals between teeth scatter; what swings ten times a revolution still passes.
    constexpr double finest = 0.5e-3, orders = 10.0;
    const double length = flywheel.time.back() - flywheel.time.front();
    const std::vector<double> angle = turned_angle(flywheel.time, flywheel.value);
    if (!(angle.back() > 2.0 * std::numbers::pi)) return out;  // it does not run
    const std::vector<double> speed = low_pass_zero_phase(
        flywheel.at_steps(flywheel.time.front(), finest, static_cast<std::size_t>(length / finest)),
        finest, orders * angle.back() / length / (2.0 * std::numbers::pi), 4);
    const auto [low, high] = std::ranges::minmax_element(speed);
    out.push_back({"speed_fluctuation_flywheel", *high - *low, flywheel.name});
    if (courses.sound.empty() || request.cylinders < 1) return out;
    const double most = enough::of_the_rate / courses.sound_step;
    if (std::min(request.band_high, most) < 1.5 * request.band_low) return out;
    const Envelope envelope = band_envelope(courses.sound, courses.sound_step, request.band_low,
                                            std::min(request.band_high, most));
    std::vector<double> power;
    std::vector<std::complex<double>> firing;
    std::size_t hint = 0;
    const auto count = static_cast<double>(envelope.value.size());
    for (std::size_t i = 0; i < envelope.value.size(); ++i) {
        const double t = static_cast<double>(i) * envelope.step;
        if (t < std::max(envelope.lost, flywheel.time.front()) || t > flywheel.time.back() ||
            t > count * envelope.step - envelope.lost) {
            continue;
        }
        power.push_back(envelope.value[i] * envelope.value[i]);
        firing.push_back(
            std::polar(1.0, 0.5 * request.cylinders * four_point(flywheel.time, angle, t, hint)));
    }
    if (power.size() < 1000) return out;
    const double background = quiet_power(power, envelope.step, envelope.bandwidth);
    std::complex<double> phase = 0.0;
    double sum = 0.0;
    for (std::size_t i = 0; i < power.size(); ++i) {
        phase += power[i] * firing[i];
        sum += power[i] - background;
    }
    constexpr double least = 1.0;  // of the background: less may be the background itself
    if (!(sum > least * background * static_cast<double>(power.size()))) return out;
    out.push_back({"impact_modulation", std::min(1.0, std::abs(phase) / sum), courses.sound_name});
    return out;
}

}  // namespace damper
