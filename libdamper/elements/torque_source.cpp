// SPDX-License-Identifier: MIT
#include "libdamper/elements/torque_source.hpp"

#include <cmath>

namespace damper {

namespace {

/// Share of the change that is done at `t`: the ramp seen through its lag, in closed form.
double share_done(const TorqueRamp& ramp, double t) {
    const double since = t - ramp.start;
    if (since <= 0.0) return 0.0;
    if (since < ramp.rise) {
        const double delayed = ramp.lag > 0.0 ? ramp.lag * -std::expm1(-since / ramp.lag) : 0.0;
        return (since - delayed) / ramp.rise;
    }
    if (ramp.lag == 0.0) return 1.0;
    // What the ramp's end left undone dies away.
    const double left =
        ramp.rise > 0.0 ? ramp.lag / ramp.rise * -std::expm1(-ramp.rise / ramp.lag) : 1.0;
    return 1.0 - left * std::exp(-(since - ramp.rise) / ramp.lag);
}

double torque_of(const ConstantTorque& source, double, double) {
    return source.torque;
}

double torque_of(const TorqueRamp& ramp, double t, double) {
    return ramp.from + (ramp.to - ramp.from) * share_done(ramp, t);
}

double torque_of(const SineTorque& source, double t, double) {
    return source.mean + source.amplitude * std::sin(source.frequency * t + source.phase);
}

/// Harmonics by rotating (cos, sin) from one half order to the next: one pair of trigonometric
/// functions for any number of harmonics.
double torque_of(const CrankTorque& source, double, double angle) {
    const double c1 = std::cos(0.5 * angle);
    const double s1 = std::sin(0.5 * angle);
    double c = 1.0;
    double s = 0.0;
    int half_orders = 0;
    double sum = source.mean;
    for (const CrankHarmonic& harmonic : source.harmonics) {
        const int wanted = static_cast<int>(std::lround(2.0 * harmonic.order));
        for (; half_orders < wanted; ++half_orders) {
            const double next = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = next;
        }
        sum += harmonic.cosine * c + harmonic.sine * s;
    }
    return sum;
}

}  // namespace

double torque(const TorqueSource& source, double t, double angle) {
    return std::visit([&](const auto& s) { return torque_of(s, t, angle); }, source);
}

std::vector<double> breakpoints(const TorqueSource& source) {
    if (const auto* ramp = std::get_if<TorqueRamp>(&source)) {
        return {ramp->start, ramp->start + ramp->rise};
    }
    return {};
}

std::string kind(const TorqueSource& source) {
    if (std::holds_alternative<ConstantTorque>(source)) return "constant";
    if (std::holds_alternative<TorqueRamp>(source)) return "ramp";
    return std::holds_alternative<SineTorque>(source) ? "sine" : "crank harmonics";
}

}  // namespace damper
