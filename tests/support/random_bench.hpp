// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/disc.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <random>

namespace damper::testing {

inline constexpr double degree = std::numbers::pi / 180.0;

/// Numbers that are the same on every machine: the distributions of <random> are not.
class Dice {
  public:
    explicit Dice(unsigned seed) : engine_(seed) {}
    double uniform(double low, double high) {
        return low + (high - low) * (static_cast<double>(engine_() >> 11U) * 0x1p-53);
    }
    double log_uniform(double low, double high) {
        return std::exp(uniform(std::log(low), std::log(high)));
    }
    int whole(int low, int high) {  // both included
        return low + static_cast<int>(uniform(0.0, 1.0) * (high - low + 1));
    }
    double normal() {  // Box and Muller
        const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform(0.0, 1.0)));
        return radius * std::cos(2.0 * std::numbers::pi * uniform(0.0, 1.0));
    }

  private:
    std::mt19937_64 engine_;
};

/// An invented disc for a car with `stages` stages, drive and coast side unlike; typical ranges of
/// the trade (common practice, no source), each stage at least 2.5 times as stiff as the one
/// inside.
inline Disc random_disc(Dice& dice, int stages) {
    Disc disc;
    disc.title = "random disc";
    disc.origin = "invented for a test";
    disc.assembly = "lumped";
    disc.facing_inertia = Inertia::from_si(0.0042);
    disc.hub_inertia = Inertia::from_si(0.0009);
    disc.friction_grip = Ratio::from_si(dice.uniform(25.0, 80.0));
    double drive = 0.0, coast = 0.0;
    double stiffness = dice.uniform(0.3, 1.0) / degree;
    for (int i = 0; i < stages; ++i) {
        const bool idle = i == 0 && stages > 1;
        DiscStage stage;
        stage.name = fmt::format("{}", i + 1);
        if (i > 0) stiffness *= dice.uniform(2.5, i + 1 == stages ? 5.0 : 4.0);
        if (i + 1 == stages) stiffness = std::max(stiffness, dice.uniform(9.0, 25.0) / degree);
        stage.stiffness = Stiffness::from_si(stiffness);
        stage.coast_stiffness = Stiffness::from_si(stiffness * dice.uniform(0.7, 1.4));
        drive += (idle ? dice.uniform(4.0, 9.0) : dice.uniform(4.0, 9.0)) * degree;
        coast += (idle ? dice.uniform(3.0, 6.0) : dice.uniform(3.0, 6.0)) * degree;
        stage.drive_end = Angle::from_si(drive);
        stage.coast_end = Angle::from_si(coast);
        const double travel = stiffness * 5.0 * degree;  // torque over the stage
        stage.hysteresis = Torque::from_si(travel * dice.uniform(0.12, 0.3));
        stage.preload = Torque::from_si(
            i > 0 && dice.uniform(0.0, 1.0) < 0.5 ? travel * dice.uniform(0.05, 0.15) : 0.0);
        stage.friction_factor = Ratio::from_si(1.0);
        disc.stages.push_back(stage);
    }
    disc.stop_stiffness = Stiffness::from_si(dice.uniform(10.0, 25.0) * stiffness);
    return disc;
}

}  // namespace damper::testing
