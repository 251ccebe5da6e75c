// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <Eigen/Dense>
#include <complex>
#include <optional>
#include <vector>

namespace damper {

/// Where a slipping driveline is looked at: as a take-up goes on, at a quarter, a half … of the
/// full clamp load.
inline constexpr double slip_looked_at = 1.0;    ///< At the mean radius [m/s]
inline constexpr double shaft_looked_at = 0.25;  ///< Gearbox input over engine speed.
inline constexpr int clamp_steps = 4;

/// What a driveline does about a steady slip of its clutch.
struct SlippingAt {
    double clamp = 0.0;       ///< [N]
    double slip_speed = 0.0;  ///< At the mean radius [m/s].
};

/// One way in which a slipping driveline swings by itself: e^(λ·t).
struct SlippingMode {
    std::complex<double> lambda;  ///< [rad/s], Im λ > 0; grows with Re λ.
    Eigen::VectorXcd shape;       ///< Angles of the inertias; √M·shape has length 1.
    /// How strongly a torque of the faces makes the vehicle's acceleration swing this way: size of
    /// the residue of that response over |λ|. 0 without a vehicle.
    double felt = 0.0;
};

/// Modes about a steady slip, least damped first. Contacts stand where the clutch torque puts them;
/// friction inside the disc and drag slip. Faces add the damping lever·radius·F·dμ/dv between
/// engine and disc, which may be negative. `slipping` is what assemble_slipping() makes with the
/// gearbox turning.
[[nodiscard]] std::vector<SlippingMode> slipping_modes(const Assembled& slipping,
                                                       const SlippingAt& at);

/// The same with this damping of the faces in the place of their own [N m s/rad].
[[nodiscard]] std::vector<SlippingMode> slipping_modes(const Assembled& slipping,
                                                       const SlippingAt& at, double face_damping);

/// The one in the judder band, with a margin to either side for trucks, that is felt most; nothing
/// if there is none.
[[nodiscard]] std::optional<SlippingMode> judder_mode(const std::vector<SlippingMode>& modes);

/// What the measures of a take-up must know of its clutch.
[[nodiscard]] ClutchFacts clutch_facts(const Scenario& scenario, const TakeUp& take_up,
                                       const Assembled& assembled);

}  // namespace damper
