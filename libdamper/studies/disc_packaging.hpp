// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// What a disc has room for, and what it has to hold. All of one class of vehicle; SI.
struct DiscPackaging {
    double drive_twist = 0.0;        ///< Largest twist to the drive stop [rad].
    double coast_twist = 0.0;        ///< Largest twist to the coast stop, positive [rad].
    double stop_torque = 0.0;        ///< Least torque at the drive stop, friction left out [N m].
    double coast_stop_torque = 0.0;  ///< The same at the coast stop [N m].
    /// Most work that the springs store up to the drive stop [J]. Springs of one window are bounded
    /// by it: the work in a coil spring of round wire is its volume · τ²/(4G), whatever its rate.
    double spring_work = 0.0;
};

/// The usual figures, as factors of what the vehicle brings.
struct PackagingPractice {
    std::string_view vehicle_class;
    std::string_view drive_twist;     ///< Largest; text with unit.
    std::string_view coast_twist;     ///< Largest; text with unit.
    double stop_factor = 0.0;         ///< Stop torque over the engine's peak torque, at least.
    double coast_stop_factor = 0.0;   ///< The same on the coast side.
    double spring_work_factor = 0.0;  ///< Over what the fitted disc's springs store, at most.
};

/// Figures for a class; an unknown class gets those of a car. Twists and stop torques: common
/// practice, no source (drive 1.2…1.5 and coast 0.5…1 times the peak torque); the spring work that
/// fits into the windows that there are: an estimate of this tool.
[[nodiscard]] const PackagingPractice& packaging_practice(std::string_view vehicle_class);

/// Limits for a vehicle: the practice, widened to what the fitted disc has of twist and work.
[[nodiscard]] DiscPackaging packaging_of(const PackagingPractice& practice, const Disc& fitted,
                                         double peak_torque);

/// Torque at the stops and work stored up to the drive stop.
struct DiscReach {
    double drive_twist = 0.0, coast_twist = 0.0;        ///< [rad]
    double stop_torque = 0.0, coast_stop_torque = 0.0;  ///< [N m]
    double spring_work = 0.0;                           ///< [J]
};
/// Of the skeleton (the mean of loading and unloading). Throws ModelError if a stage ends before
/// its preload is overcome.
[[nodiscard]] DiscReach reach_of(const Disc& disc);

/// A limit that a disc does not keep.
struct PackagingMiss {
    std::string what;    ///< "twist to the drive stop 31° (at most 28°)".
    double share = 0.0;  ///< How far beyond, as a share of the limit. > 0
};

/// What a disc misses: twists, stop torques, spring work, and stages that do not get stiffer from
/// the inside out.
[[nodiscard]] std::vector<PackagingMiss> packaging_misses(const Disc& disc,
                                                          const DiscPackaging& limits);

}  // namespace damper
