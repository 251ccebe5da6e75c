// SPDX-License-Identifier: MIT
#include "libdamper/scenario/recorded_speed.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <numeric>

namespace damper {

namespace {

constexpr double firings = 10.0;         // harmonics of the firing frequency that are kept
constexpr double fewest_firings = 1.5;   // without which idle cannot be judged
constexpr double of_sampling = 0.4;      // cut-off over sampling frequency
constexpr double steps_a_period = 16.0;  // of the cut-off, so that cubics follow it

double mean_speed(const RecordedSpeed& recorded) {
    return std::accumulate(recorded.speed.begin(), recorded.speed.end(), 0.0) /
           static_cast<double>(recorded.speed.size());
}

double cut_off_of(const RecordedSpeed& recorded, const Engine& engine) {
    const double firing_order = 0.5 * engine.cylinders;
    const double firing = firing_order * mean_speed(recorded) / (2.0 * std::numbers::pi);
    const double sampling = static_cast<double>(recorded.time.size() - 1) /
                            (recorded.time.back() - recorded.time.front());
    const double most = of_sampling * sampling;
    const bool asked = recorded.cut_off.si() > 0.0;
    const double cut_off = asked ? recorded.cut_off.si() : std::min(firings * firing, most);
    if (cut_off > most) {
        throw ModelError(
            fmt::format("its {:.4g} values a second show nothing above {:.4g} Hz; cut_off is "
                        "{:.4g} Hz",
                        sampling, most, cut_off));
    }
    if (cut_off < fewest_firings * firing) {
        throw ModelError(fmt::format(
            "the engine fires at {:.4g} Hz, and {} {:.4g} Hz: it takes at least {:.0f} values a "
            "second",
            firing, asked ? "cut_off leaves nothing above" : "this shows nothing above", cut_off,
            std::ceil(fewest_firings * firing / of_sampling)));
    }
    return cut_off;
}

void check_values(const RecordedSpeed& recorded) {
    if (recorded.time.size() < 4 || recorded.time.size() != recorded.speed.size()) {
        throw ModelError("it has fewer than four values");
    }
    const auto slowest = std::ranges::min_element(recorded.speed);
    if (!(*slowest > 0.0)) {
        const auto at = static_cast<std::size_t>(slowest - recorded.speed.begin());
        throw ModelError(
            fmt::format("at {:.6g} s the engine stands still or turns back", recorded.time[at]));
    }
    if (!(recorded.time.back() > recorded.time.front())) {
        throw ModelError("its times do not rise");
    }
}

}  // namespace

Resampled motion_of(const RecordedSpeed& recorded, const Engine& engine) {
    check_values(recorded);
    const double cut_off = cut_off_of(recorded, engine);
    Resampled motion =
        resample(recorded.time, recorded.speed, cut_off, 1.0 / (steps_a_period * cut_off));
    motion.start = 0.0;
    return motion;
}

void take_length(RecordedSpeed& recorded, const Engine& engine) {
    if (recorded.length.si() > 0.0) return;
    const Resampled motion = motion_of(recorded, engine);
    recorded.length = Time::from_si(motion.step * static_cast<double>(motion.value.size() - 1));
}

void check_recording(const RecordedSpeed& recorded, const Engine& engine,
                     std::vector<Finding>& findings) {
    try {
        const Resampled motion = motion_of(recorded, engine);
        const double usable = motion.step * static_cast<double>(motion.value.size() - 1);
        if (recorded.length.si() <= usable * (1.0 + 1e-9)) return;
        findings.push_back(
            {{},
             "manoeuvre.length",
             write_quantity(recorded.length),
             "at most what the recording allows, " + write_quantity(Time::from_si(usable)),
             "Leave length out to take the whole recording."});
    } catch (const ModelError& error) {
        findings.push_back({{},
                            "manoeuvre.recording",
                            fmt::format("\"{}\": {}", recorded.recording, error.what()),
                            "a recording that shows the firing of the engine",
                            ""});
    }
}

}  // namespace damper
