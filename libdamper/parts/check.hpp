// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/parts/vehicle.hpp"

#include <string>
#include <vector>

namespace damper {

// Rules across the fields of a part. Findings name the key inside the part ("stages[1].drive_end")
// and have no place: whoever read the part from a file adds it, parts made in C++ have none.
// Ranges of single fields are in the field tables and are not looked at again.

/// Firing order a permutation of 1…cylinders, intervals add up to 720 deg, geometry complete …
[[nodiscard]] std::vector<Finding> check(const Engine& engine);
/// One whole cycle without gaps, absolute, its peak about the top dead centre of firing.
[[nodiscard]] std::vector<Finding> check(const PressureTrace& trace);
/// Stages end further and further out on both sides, stops are hard, broken springs exist.
[[nodiscard]] std::vector<Finding> check(const Disc& disc);
/// Circles of the diaphragm spring in the order of its type and on its ring, tolerances small.
[[nodiscard]] std::vector<Finding> check(const Cover& cover);
/// Inner inside outer, curves rising, wear within its allowance.
[[nodiscard]] std::vector<Finding> check(const Facing& facing);
/// Thinner when hot.
[[nodiscard]] std::vector<Finding> check(const Oil& oil);
/// Gear names unique, backlash small against the gear. The oil is checked on its own.
[[nodiscard]] std::vector<Finding> check(const Gearbox& gearbox);
/// Stages end further and further out beyond the free angle, stops are hard, broken springs exist.
[[nodiscard]] std::vector<Finding> check(const TwoMassFlywheel& flywheel);
/// Stops outside the free play and stiffer than the mounts.
[[nodiscard]] std::vector<Finding> check(const Mounts& mounts);
/// A propshaft has an inertia.
[[nodiscard]] std::vector<Finding> check(const Axle& axle);

/// What is allowed but looks like a slip, one sentence each: a main stage softer than the one
/// before it or below 1 N m/deg, next to no hysteresis, a stop torque below the engine's peak, an
/// idle speed outside 400 to 1500 rpm, more than 1 mm of backlash. Never errors.
[[nodiscard]] std::vector<std::string> doubts(const Vehicle& vehicle);

}  // namespace damper
