// SPDX-License-Identifier: MIT
#include "libdamper/measures/speed_fluctuation.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numeric>
#include <span>
#include <string>

namespace damper {
namespace {

struct Shaft {
    const char* signal;  ///< Beginning of the names of its signals.
    const char* key;     ///< End of the keys of its measures.
    const char* words;
};

void fluctuation_of(const RunView& run, const Shaft& shaft, double speed, Measured& measured) {
    const std::span<const double> values =
        run.signals.from(fmt::format("{}_speed", shaft.signal), run.facts.measured_from);
    if (values.size() < 2) return;
    const auto [low, high] = std::minmax_element(values.begin(), values.end());
    const auto count = static_cast<double>(values.size());
    const double mean = std::accumulate(values.begin(), values.end(), 0.0) / count;
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);

    const std::string key = fmt::format("speed_fluctuation_{}", shaft.key);
    add(measured, key, "rad/s", Better::less, *high - *low,
        fmt::format("Highest minus lowest speed of the {} over the time that is measured.",
                    shaft.words));
    add(measured, key + "_rms", "rad/s", Better::less, std::sqrt(squares / count),
        fmt::format("Root mean square of the speed of the {} about its mean over the time that is "
                    "measured.",
                    shaft.words));
    if (!(speed > 0.0)) return;
    add(measured, key + "_order", "rad/s", Better::less,
        order_amplitude(values, run.signals.step(), speed, run.facts.firing_order),
        fmt::format("Amplitude (0 to peak) of the speed of the {} at the firing order, over whole "
                    "engine cycles.",
                    shaft.words));
}

}  // namespace

void measure_speed_fluctuation(const RunView& run, Measured& measured) {
    const double speed = run.mean_speed();
    const std::array shafts = {Shaft{"flywheel", "flywheel", "flywheel"},
                               Shaft{"input_shaft", "input", "gearbox input shaft"}};
    for (const Shaft& shaft : shafts) fluctuation_of(run, shaft, speed, measured);
    if (!(speed > 0.0)) {
        measured.notes.emplace_back(
            "The measured part of the run is shorter than one engine cycle: no orders.");
        return;
    }

    const double step = run.signals.step();
    const double from = run.facts.measured_from;
    const std::span<const double> flywheel = run.signals.from("flywheel_speed", from);
    add(measured, "half_order_angle", "rad", Better::less,
        order_amplitude(flywheel, step, speed, 0.5) / (0.5 * speed),
        "Amplitude (0 to peak) of the flywheel's angle at order one half, over whole engine "
        "cycles: "
        "its speed amplitude at that order over the order's circular frequency.");

    const double highest = std::max(8.0, 4.0 * run.facts.firing_order);
    for (const char* name : {"flywheel_acceleration", "input_shaft_acceleration"}) {
        measured.spectra.push_back(order_spectrum(
            name, run.signals.at(name).units, run.signals.from(name, from), step, speed, highest));
    }
}

}  // namespace damper
