// SPDX-License-Identifier: MIT
#include "libdamper/measures/isolation.hpp"

namespace damper {

void Isolation::tell(const EngineOrders& orders, Measured& measured) const {
    if (any_) {
        add_measure(measured, "input_shaft_acceleration_peak", "rad/s2", Better::less, peak_,
                    "Largest magnitude of the input shaft's acceleration over the time that is "
                    "measured, impacts included.");
    }
    if (!orders.any()) return;

    const double input = orders.input_shaft_acceleration();
    const double engine = orders.flywheel_acceleration();
    add_measure(measured, "input_shaft_acceleration_order", "rad/s2", Better::less, input,
                "Amplitude (0 to peak) of the input shaft's acceleration at the firing order: "
                "least squares over the actual crank angle, over whole engine cycles.");
    // A quotient of roundings is no transfer.
    constexpr double stillness = 1e-9;  // of the mean speed squared
    if (engine > stillness * orders.mean_speed() * orders.mean_speed()) {
        add_measure(measured, "transfer", "1", Better::less, input / engine,
                    "Acceleration of the input shaft over that of the flywheel, both as amplitudes "
                    "at the firing order. Below 1 the disc isolates.");
    } else {
        measured.notes.emplace_back(
            "The flywheel does not swing at the firing order: no transfer.");
    }
}

}  // namespace damper
