// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// One engine order of some signals while the engine goes through its speeds: a row for every
/// two engine cycles.
struct SpeedCourse {
    double order = 0.0;                         ///< Multiple of crank speed; 0: there is no course.
    std::vector<double> speed;                  ///< Mean engine speed of each row [rad/s].
    std::vector<double> flywheel_acceleration;  ///< Amplitude, 0 to peak [rad/s2].
    std::vector<double> input_shaft_acceleration;  ///< The same [rad/s2].
    std::vector<double> drive_shaft_torque;        ///< The same [N m].
};

}  // namespace damper
