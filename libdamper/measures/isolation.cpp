// SPDX-License-Identifier: MIT
#include "libdamper/measures/isolation.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace damper {
namespace {

double firing_amplitude(const RunView& run, const char* signal) {
    const double speed = run.mean_speed();
    if (!(speed > 0.0)) return 0.0;
    return order_amplitude(run.signals.from(signal, run.facts.measured_from), run.signals.step(),
                           speed, run.facts.firing_order);
}

}  // namespace

double input_acceleration_amplitude(const RunView& run) {
    return firing_amplitude(run, "input_shaft_acceleration");
}

void measure_isolation(const RunView& run, Measured& measured) {
    const std::span<const double> input =
        run.signals.from("input_shaft_acceleration", run.facts.measured_from);
    double peak = 0.0;
    for (const double value : input) peak = std::max(peak, std::abs(value));
    if (!input.empty()) {
        add(measured, "input_shaft_acceleration_peak", "rad/s2", Better::less, peak,
            "Largest magnitude of the input shaft's acceleration over the time that is measured, "
            "impacts included.");
    }
    if (!(run.mean_speed() > 0.0)) return;

    const double in = input_acceleration_amplitude(run);
    const double engine = firing_amplitude(run, "flywheel_acceleration");
    add(measured, "input_shaft_acceleration_order", "rad/s2", Better::less, in,
        "Amplitude (0 to peak) of the input shaft's acceleration at the firing order, over whole "
        "engine cycles.");
    // A quotient of roundings is no transfer.
    constexpr double stillness = 1e-9;  // of the mean speed squared
    if (engine > stillness * run.mean_speed() * run.mean_speed()) {
        add(measured, "transfer", "1", Better::less, in / engine,
            "Acceleration of the input shaft over that of the flywheel, both as amplitudes at the "
            "firing order. Below 1 the disc isolates.");
    } else {
        measured.notes.emplace_back(
            "The flywheel does not swing at the firing order: no transfer.");
    }
}

}  // namespace damper
