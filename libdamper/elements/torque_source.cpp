// SPDX-License-Identifier: MIT
#include "libdamper/elements/torque_source.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
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

double torque_of(const RecordedTorque& recorded, double t, double) {
    const auto last = static_cast<double>(recorded.values.size() - 1);
    const double at = std::clamp((t - recorded.start) / recorded.step, 0.0, last);
    const double piece = std::min(std::floor(at), last - 1.0);
    const std::array<double, 4> c = recorded.piece(static_cast<std::size_t>(piece));
    const double u = at - piece;
    return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
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

std::array<double, 4> RecordedTorque::piece(std::size_t i) const {
    const std::size_t last = values.size() - 1;
    const double before = values[i];
    const double rise = values[i + 1] - before;
    // Slopes per step: of the parabola through a value and both neighbours, or through the three
    // values at an end; of the line if there are but two.
    const auto slope = [&](std::size_t k) {
        if (last == 1) return rise;
        if (k == 0) return -1.5 * values[0] + 2.0 * values[1] - 0.5 * values[2];
        if (k == last) return 1.5 * values[k] - 2.0 * values[k - 1] + 0.5 * values[k - 2];
        return 0.5 * (values[k + 1] - values[k - 1]);
    };
    const double a = slope(i);
    const double b = slope(i + 1);
    return {before, a, 3.0 * rise - 2.0 * a - b, a + b - 2.0 * rise};
}

double torque(const TorqueSource& source, double t, double angle) {
    return std::visit([&](const auto& s) { return torque_of(s, t, angle); }, source);
}

std::vector<double> breakpoints(const TorqueSource& source) {
    if (const auto* ramp = std::get_if<TorqueRamp>(&source)) {
        return {ramp->start, ramp->start + ramp->rise};
    }
    if (const auto* recorded = std::get_if<RecordedTorque>(&source)) {
        std::vector<double> out;
        for (std::size_t i = 0; i < recorded->values.size(); ++i) {
            out.push_back(recorded->start + recorded->step * static_cast<double>(i));
        }
        return out;
    }
    return {};
}

void check(const TorqueSource& source) {
    const auto* recorded = std::get_if<RecordedTorque>(&source);
    if (recorded == nullptr) return;
    const bool finite = std::all_of(recorded->values.begin(), recorded->values.end(),
                                    [](double v) { return std::isfinite(v); });
    if (recorded->values.size() < 2 || !(recorded->step > 0.0) || !finite ||
        !std::isfinite(recorded->start)) {
        throw ModelError("a recorded torque needs at least two finite values and a step > 0");
    }
}

std::string kind(const TorqueSource& source) {
    if (std::holds_alternative<RecordedTorque>(source)) return "recording";
    if (std::holds_alternative<ConstantTorque>(source)) return "constant";
    if (std::holds_alternative<TorqueRamp>(source)) return "ramp";
    return std::holds_alternative<SineTorque>(source) ? "sine" : "crank harmonics";
}

}  // namespace damper
