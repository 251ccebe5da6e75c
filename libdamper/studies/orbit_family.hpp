// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/orbit_course.hpp"

#include <string>
#include <vector>

namespace damper {

/// How the engine is run while its speed goes through a range.
enum class OperatingCurve {
    neutral,  ///< Standing, no gear engaged, the engine makes good the drag.
    pull,     ///< In a gear, the engine gives a share of its peak torque.
    overrun,  ///< In a gear, foot off: the vehicle drives the engine.
};

/// What the loose gears' teeth do.
enum class LooseGears {
    held,  ///< Stay in contact with their driving face: the motion without rattle.
    free,  ///< Leave it and hit either face.
};

struct OrbitRequest {
    OperatingCurve curve = OperatingCurve::neutral;
    std::string gear = {};  ///< Name of a gear, for pull and overrun.
    LooseGears loose_gears = LooseGears::held;
    double load = 1.0;  ///< Share of the engine's peak torque in a pull, 0…1
    double from = 0.0;  ///< Engine speed [rad/s], > 0
    double to = 0.0;    ///< Engine speed [rad/s], > 0
    /// Speeds of the range at which the cylinders are computed: ≥ 4, or 1 for the middle alone.
    int torque_nodes = 25;
};

/// A vehicle's driveline at every engine speed of a range, steady: the mean speed is held, in
/// neutral by the engine's own torque, in gear by a load on the vehicle (a slope, a brake, a roller
/// bench). Road load and tyre slip are linear about the mean speed. The torque over crank angle is
/// computed at some speeds and interpolated between them (piecewise cubic).
class OrbitFamily final : public OrbitCourse {
  public:
    /// Throws InputError if the vehicle has no such gear, or its engine cannot do it.
    OrbitFamily(const Scenario& scenario, const OrbitRequest& request);

    [[nodiscard]] PeriodicProblem at(double speed) const override;
    [[nodiscard]] double engine_speed(double speed) const override { return speed; }
    [[nodiscard]] const Assembled& assembled() const override { return assembled_; }
    /// Orders of the engine that its torque has, rising.
    [[nodiscard]] const std::vector<double>& orders() const { return orders_; }
    [[nodiscard]] double first_order() const override { return first_order_; }
    [[nodiscard]] double mean_torque(double speed) const override;

  private:
    void take_torques(const Scenario& scenario, const OrbitRequest& request);
    void take_orders();
    [[nodiscard]] CrankTorque torque_at(double speed) const;

    Assembled assembled_;  ///< At `reference_`, without smooth laws.
    double reference_ = 0.0;
    State start_;
    std::vector<std::pair<std::size_t, double>> slip_;  ///< Branch, damping at the reference.
    std::vector<double> node_speeds_;
    std::vector<CrankTorque> nodes_;
    std::vector<double> orders_;
    double first_order_ = 0.5;
};

}  // namespace damper
