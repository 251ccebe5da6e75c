// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/solvers/orbit/orbit_curve.hpp"

namespace damper {

/// A vehicle's driveline for every value of a parameter that a curve of motions is followed in: the
/// engine speed (OrbitFamily) or a key of the description (VariedCourse). Inertias and elements are
/// the same at every value.
class OrbitCourse {
  public:
    OrbitCourse() = default;
    OrbitCourse(const OrbitCourse&) = default;
    OrbitCourse(OrbitCourse&&) = default;
    OrbitCourse& operator=(const OrbitCourse&) = default;
    OrbitCourse& operator=(OrbitCourse&&) = default;
    virtual ~OrbitCourse() = default;

    [[nodiscard]] virtual PeriodicProblem at(double parameter) const = 0;
    [[nodiscard]] virtual double engine_speed(double parameter) const = 0;  ///< Mean [rad/s]
    [[nodiscard]] virtual double mean_torque(double parameter) const = 0;   ///< Of the engine [N m]
    /// Somewhere on the course; for the places of inertias and elements.
    [[nodiscard]] virtual const Assembled& assembled() const = 0;
    /// Order of the first harmonic of the motion: ½, 1, or more where all cylinders are alike.
    [[nodiscard]] virtual double first_order() const = 0;
};

}  // namespace damper
