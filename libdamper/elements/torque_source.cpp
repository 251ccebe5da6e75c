// SPDX-License-Identifier: MIT
#include "libdamper/elements/torque_source.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

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

double torque_of(const ConstantTorque& source, double, double, double) {
    return source.torque;
}

double torque_of(const TorqueRamp& ramp, double t, double, double) {
    return ramp.from + (ramp.to - ramp.from) * share_done(ramp, t);
}

double torque_of(const SineTorque& source, double t, double, double) {
    return source.mean + source.amplitude * std::sin(source.frequency * t + source.phase);
}

double torque_of(const RecordedTorque& recorded, double t, double, double) {
    const auto last = static_cast<double>(recorded.values.size() - 1);
    const double at = std::clamp((t - recorded.start) / recorded.step, 0.0, last);
    const double piece = std::min(std::floor(at), last - 1.0);
    const std::array<double, 4> c = recorded.piece(static_cast<std::size_t>(piece));
    const double u = at - piece;
    return c[0] + u * (c[1] + u * (c[2] + u * c[3]));
}

/// Harmonics by rotating (cos, sin) from one half order to the next: one pair of trigonometric
/// functions for any number of harmonics.
double torque_of(const CrankTorque& source, double, double angle, double) {
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

double torque_of(const SpeedTorque& source, double t, double angle, double speed) {
    return torque_of(source.at(t, speed), t, angle, speed);
}

bool same_orders(const CrankTorque& one, const CrankTorque& other) {
    return std::equal(
        one.harmonics.begin(), one.harmonics.end(), other.harmonics.begin(), other.harmonics.end(),
        [](const CrankHarmonic& a, const CrankHarmonic& b) { return a.order == b.order; });
}

void check_recorded(const RecordedTorque& recorded) {
    const bool finite = std::all_of(recorded.values.begin(), recorded.values.end(),
                                    [](double v) { return std::isfinite(v); });
    if (recorded.values.size() < 2 || !(recorded.step > 0.0) || !finite ||
        !std::isfinite(recorded.start)) {
        throw ModelError("a recorded torque needs at least two finite values and a step > 0");
    }
}

void check_speeds(const SpeedTorque& source) {
    const auto rises = [](double a, double b) { return !(a < b); };
    if (source.speeds.size() < 2 || source.maps.empty() ||
        std::adjacent_find(source.speeds.begin(), source.speeds.end(), rises) !=
            source.speeds.end()) {
        throw ModelError("a torque over speed needs a map and at least two rising speeds");
    }
    for (std::size_t m = 0; m < source.maps.size(); ++m) {
        const SpeedTorque::Map& map = source.maps[m];
        if (m > 0 && !(map.from > source.maps[m - 1].from)) {
            throw ModelError("the maps of a torque over speed must follow each other in time");
        }
        if (map.at.size() != source.speeds.size()) {
            throw ModelError("a torque over speed needs one torque for each speed");
        }
        for (const CrankTorque& torque : map.at) {
            if (!same_orders(torque, source.maps[0].at[0])) {
                throw ModelError("a torque over speed needs the same orders at every speed");
            }
        }
    }
}

}  // namespace

void give_same_orders(const std::vector<CrankTorque*>& torques) {
    std::set<double> orders;
    for (const CrankTorque* torque : torques) {
        for (const CrankHarmonic& h : torque->harmonics) orders.insert(h.order);
    }
    for (CrankTorque* torque : torques) {
        std::vector<CrankHarmonic> all;
        for (const double order : orders) {
            const auto own = std::find_if(torque->harmonics.begin(), torque->harmonics.end(),
                                          [&](const CrankHarmonic& h) { return h.order == order; });
            all.push_back(own != torque->harmonics.end()
                              ? *own
                              : CrankHarmonic{.order = order, .cosine = 0.0, .sine = 0.0});
        }
        torque->harmonics = std::move(all);
    }
}

const SpeedTorque::Map& SpeedTorque::map_at(double t) const {
    const auto later = std::upper_bound(maps.begin() + 1, maps.end(), t,
                                        [](double time, const Map& m) { return time < m.from; });
    return *std::prev(later);
}

CrankTorque SpeedTorque::at(double t, double speed) const {
    const std::vector<CrankTorque>& at = map_at(t).at;
    const std::size_t piece = piece_of(speed);
    if (piece == 0) return at.front();
    if (piece == at.size()) return at.back();
    const CrankTorque& above = at[piece];
    const double share = (speed - speeds[piece - 1]) / (speeds[piece] - speeds[piece - 1]);
    CrankTorque out = at[piece - 1];
    out.mean = std::lerp(out.mean, above.mean, share);
    for (std::size_t i = 0; i < out.harmonics.size(); ++i) {
        CrankHarmonic& h = out.harmonics[i];
        h.cosine = std::lerp(h.cosine, above.harmonics[i].cosine, share);
        h.sine = std::lerp(h.sine, above.harmonics[i].sine, share);
    }
    return out;
}

std::size_t SpeedTorque::piece_of(double speed) const {
    return static_cast<std::size_t>(std::upper_bound(speeds.begin(), speeds.end(), speed) -
                                    speeds.begin());
}

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

double torque(const TorqueSource& source, double t, double angle, double speed) {
    return std::visit([&](const auto& s) { return torque_of(s, t, angle, speed); }, source);
}

double mean_torque(const TorqueSource& source, double speed) {
    if (const auto* crank = std::get_if<CrankTorque>(&source)) return crank->mean;
    if (const auto* sine = std::get_if<SineTorque>(&source)) return sine->mean;
    if (const auto* over_speed = std::get_if<SpeedTorque>(&source)) {
        return over_speed->at(0.0, speed).mean;
    }
    return torque(source, 0.0, 0.0, speed);
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
    if (const auto* over_speed = std::get_if<SpeedTorque>(&source)) {
        std::vector<double> out;
        for (std::size_t m = 1; m < over_speed->maps.size(); ++m) {
            out.push_back(over_speed->maps[m].from);
        }
        return out;
    }
    return {};
}

void check(const TorqueSource& source) {
    if (const auto* recorded = std::get_if<RecordedTorque>(&source)) check_recorded(*recorded);
    if (const auto* over_speed = std::get_if<SpeedTorque>(&source)) check_speeds(*over_speed);
}

std::string kind(const TorqueSource& source) {
    if (std::holds_alternative<RecordedTorque>(source)) return "recording";
    if (std::holds_alternative<SpeedTorque>(source)) return "crank harmonics over speed";
    if (std::holds_alternative<ConstantTorque>(source)) return "constant";
    if (std::holds_alternative<TorqueRamp>(source)) return "ramp";
    return std::holds_alternative<SineTorque>(source) ? "sine" : "crank harmonics";
}

}  // namespace damper
