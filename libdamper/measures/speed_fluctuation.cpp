// SPDX-License-Identifier: MIT
#include "libdamper/measures/speed_fluctuation.hpp"

#include <fmt/format.h>
#include <string>

namespace damper {
namespace {

struct Shaft {
    const char* key;  ///< End of the keys of its measures.
    const char* words;
    double order_amplitude;
};

void tell_shaft(const Shaft& shaft, const RunningStatistics& speed, bool any_cycle,
                Measured& measured) {
    if (speed.count() < 2.0) return;
    const std::string key = fmt::format("speed_fluctuation_{}", shaft.key);
    add_measure(measured, key, "rad/s", Better::less, speed.high() - speed.low(),
                fmt::format("Highest minus lowest speed of the {} over the time that is measured.",
                            shaft.words));
    add_measure(
        measured, key + "_rms", "rad/s", Better::less, speed.deviation(),
        fmt::format("Root mean square of the speed of the {} about its mean over the time that is "
                    "measured.",
                    shaft.words));
    if (!any_cycle) return;
    add_measure(
        measured, key + "_order", "rad/s", Better::less, shaft.order_amplitude,
        fmt::format("Amplitude (0 to peak) of the speed of the {} at the firing order: least "
                    "squares over the actual crank angle, over whole engine cycles.",
                    shaft.words));
}

}  // namespace

void SpeedFluctuation::tell(const EngineOrders& orders, Measured& measured) const {
    tell_shaft({"flywheel", "flywheel", orders.flywheel_speed()}, flywheel_, orders.any(),
               measured);
    tell_shaft({"input", "gearbox input shaft", orders.input_shaft_speed()}, input_, orders.any(),
               measured);
    if (!orders.any()) {
        measured.notes.emplace_back(
            "The measured part of the run is shorter than one engine cycle: no orders.");
        return;
    }
    add_measure(
        measured, "half_order_angle", "rad", Better::less,
        orders.flywheel_speed_half_order() / (0.5 * orders.mean_speed()),
        "Amplitude (0 to peak) of the flywheel's angle at order one half: the amplitude of its "
        "speed at that order (least squares over the actual crank angle, over whole engine cycles, "
        "the first and last two weighted so that a drift of the mean speed does not count) over "
        "the order's circular frequency at the mean speed of these cycles.");
}

}  // namespace damper
