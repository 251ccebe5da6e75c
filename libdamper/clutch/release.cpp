// SPDX-License-Identifier: MIT
#include "libdamper/clutch/release.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace damper {

namespace {

constexpr int halvings = 60;  // of an interval: to the last bit

/// The place between low, where `below` holds, and high, where it does not.
template <class Below>
double bisect(double low, double high, Below below) {
    for (int n = 0; n < halvings; ++n) {
        const double middle = 0.5 * (low + high);
        (below(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

/// By which the plate pressed the cushion together when clamped [m].
double clamped_cushion(const ClampedCover& cover) {
    return cover.cushion.deflection(std::max(spring_load(cover.spring, cover.deflection), 0.0));
}

}  // namespace

double lever_ratio(double finger, double pivot, double load) {
    return std::abs(pivot - finger) / std::abs(load - pivot);
}

ReleasePoint at_lift(const ClampedCover& cover, double lift) {
    const double spring = spring_load(cover.spring, cover.deflection + lift);
    ReleasePoint point;
    point.lift = lift;
    point.plate_load =
        lift > 0.0 ? cover.cushion.load(clamped_cushion(cover) - lift) : std::max(spring, 0.0);
    point.bearing_load = (spring - point.plate_load) / cover.lever;
    point.travel = cover.lever * lift + cover.give * point.bearing_load;
    return point;
}

ReleasePoint at_travel(const ClampedCover& cover, double travel) {
    if (travel <= 0.0) return at_lift(cover, 0.0);
    // Under no load the plate would have gone farthest; a spring that pulls has negative loads.
    double high = travel / cover.lever;
    while (at_lift(cover, high).travel < travel) high *= 2.0;
    const double lift =
        bisect(0.0, high, [&](double y) { return at_lift(cover, y).travel < travel; });
    ReleasePoint point = at_lift(cover, lift);
    const double least = std::abs(point.travel - travel);
    if (least <= 1e-9 * travel) return point;
    // The plate does not move yet: the bearing only bends cover and fingers.
    point.lift = 0.0;
    point.travel = travel;
    point.bearing_load = travel / cover.give;
    point.plate_load =
        spring_load(cover.spring, cover.deflection) - cover.lever * point.bearing_load;
    return point;
}

double plate_load_under(const ClampedCover& cover, double bearing_load) {
    const double clamped = spring_load(cover.spring, cover.deflection);
    const double free = clamped_cushion(cover);
    if (bearing_load <= 0.0) return std::max(clamped, 0.0);
    const double left = clamped - cover.lever * bearing_load;
    // A rigid or flat cushion lets go of load without movement.
    if (cover.cushion.load(free) <= left) return left;
    if (at_lift(cover, free).bearing_load <= bearing_load) return 0.0;
    const double lift =
        bisect(0.0, free, [&](double y) { return at_lift(cover, y).bearing_load < bearing_load; });
    return at_lift(cover, lift).plate_load;
}

std::vector<ReleasePoint> release_curve(const ClampedCover& cover, double travel, int points) {
    std::vector<ReleasePoint> curve;
    for (int n = 0; n < points; ++n) {
        curve.push_back(at_travel(cover, travel * n / (points - 1)));
    }
    return curve;
}

double give_of(const ClampedCover& rigid, double travel, double lost) {
    const double lift = travel / rigid.lever - lost;
    if (lift <= 0.0) {
        throw ModelError("all of the plate's lift is lost to bending");
    }
    const double load = at_lift(rigid, lift).bearing_load;
    return load > 0.0 ? lost * rigid.lever / load : 0.0;
}

}  // namespace damper
