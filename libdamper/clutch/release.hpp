// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/clutch/cushion.hpp"
#include "libdamper/clutch/diaphragm.hpp"

#include <vector>

namespace damper {

/// A cover clamped on its discs, and the bearing that releases it.
///
/// The bearing moves by x, the pressure plate by y away from where it was clamped. The spring's
/// deflection grows by y, the cushion follows the plate until it is free. With the lever ratio i:
///
///     i·F = P(λ + y) − W(y)        bearing load F, plate load W on the discs
///     W(y) = cushion(c − y)        c: cushion deflection when clamped
///     x    = i·y + F/k             k: stiffness of cover and fingers, seen by the bearing
///
/// Balance of moments about the pivot; the straps that lift the plate are taken as weightless.
/// Push and pull type differ in the lever ratio alone.
struct ClampedCover {
    DiaphragmSpring spring;
    Cushion cushion;
    double deflection = 0.0;  ///< λ of the spring when clamped [m].
    double lever = 1.0;       ///< i: bearing travel over plate lift of rigid parts.
    double give = 0.0;        ///< 1/k [m/N]
};

/// i from the radii of finger tips, pivot and load circle [m]: |pivot − finger| / |load − pivot|.
[[nodiscard]] double lever_ratio(double finger, double pivot, double load);

/// One point of the way of the bearing.
struct ReleasePoint {
    double travel = 0.0;        ///< x [m], from contact with the fingers.
    double bearing_load = 0.0;  ///< F [N]
    double lift = 0.0;          ///< y [m]
    double plate_load = 0.0;    ///< W [N]
};

/// The state at a plate lift y ≥ 0. At y = 0 and a cushion without give the plate load is that of
/// the clamped state.
[[nodiscard]] ReleasePoint at_lift(const ClampedCover& cover, double lift);

/// The state at a travel of the bearing x ≥ 0.
[[nodiscard]] ReleasePoint at_travel(const ClampedCover& cover, double travel);

/// The plate load that is left while a steady load rests on the bearing [N]; 0 if it releases.
[[nodiscard]] double plate_load_under(const ClampedCover& cover, double bearing_load);

/// `points` ≥ 2 states evenly over the travel, from 0 to `travel`.
[[nodiscard]] std::vector<ReleasePoint> release_curve(const ClampedCover& cover, double travel,
                                                      int points);

/// 1/k [m/N] from the lift that is lost [m] at a travel [m]. Throws ModelError if all of it is.
[[nodiscard]] double give_of(const ClampedCover& rigid, double travel, double lost);

}  // namespace damper
