// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/clutch/start.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/heat_study.hpp"

#include <Eigen/Core>
#include <string>

namespace damper {

/// The vehicle behind the clutch as one inertia, and what resists it.
struct BehindClutch {
    double inertia = 0.0;  ///< At the gearbox input [kg m²].
    double radius = 0.0;   ///< Way of the vehicle per angle of the input [m/rad].
    double weight = 0.0;   ///< [N]
    double rolling = 0.0;  ///< Force over load.
    double drag = 0.0;     ///< Constant, at the gearbox input [N m].

    /// What a grade (height over way) and rolling take [N m], at the gearbox input.
    [[nodiscard]] double load(double grade) const;
};

/// A vehicle with its clutch, ready to start again and again. Holds the clamp load of its facings
/// as they are, less what rests on the release bearing.
class Starter {
  public:
    /// Throws InputError as clutch_model(), and if there is no such gear.
    Starter(const Vehicle& vehicle, const HeatSettings& settings);

    /// Torque that the clutch holds at a temperature of its faces [K].
    [[nodiscard]] double capacity(double temperature) const;
    /// What the driver lets the clutch carry.
    [[nodiscard]] double torque_wanted(double grade) const;
    [[nodiscard]] Start start(double clutch_torque, double grade) const;

    /// A face of one start: its largest rise over the bulk [K], and the temperature of the hottest.
    struct Face {
        double rise = 0.0;
        double temperature = 0.0;
    };
    /// `bulk`: degrees of the plates above the surroundings.
    [[nodiscard]] Face hottest_face(const StartHeat& heat, const Eigen::VectorXd& bulk) const;

    [[nodiscard]] const HeatNetwork& network() const { return network_; }
    [[nodiscard]] const HeatModel& heat() const { return heat_; }
    [[nodiscard]] const BehindClutch& behind() const { return behind_; }
    [[nodiscard]] const std::string& gear() const { return gear_; }
    [[nodiscard]] double engine_speed() const { return engine_speed_; }
    [[nodiscard]] double engine_inertia() const { return engine_inertia_; }
    [[nodiscard]] double peak_torque() const { return peak_torque_; }
    [[nodiscard]] double facing_area() const { return facing_area_; }  ///< Of all faces [m²].

  private:
    HeatSettings settings_;
    ClutchModel clutch_;
    HeatModel heat_;
    HeatNetwork network_;
    BehindClutch behind_;
    std::string gear_;
    double peak_torque_ = 0.0;
    double engine_inertia_ = 0.0;
    double engine_speed_ = 0.0;
    double radius_ = 0.0;
    double clamp_load_ = 0.0;
    double facing_area_ = 0.0;
};

}  // namespace damper
