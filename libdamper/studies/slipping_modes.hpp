// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <complex>
#include <optional>
#include <vector>

namespace damper {

/// What a driveline does about a steady slip of its clutch.
struct SlippingAt {
    double clamp = 0.0;       ///< [N]
    double slip_speed = 0.0;  ///< At the mean radius [m/s].
};

/// Eigenvalues λ [rad/s] with Im λ > 0 of a driveline whose clutch slips, least damped first. Contacts
/// stand where the clutch torque puts them; friction inside the disc and drag slip. Faces add the
/// damping lever·radius·F·dμ/dv between engine and disc, which may be negative. `slipping` is what
/// assemble_slipping() makes with the gearbox turning.
[[nodiscard]] std::vector<std::complex<double>> slipping_eigenvalues(const Assembled& slipping,
                                                                     const SlippingAt& at);

/// The same with this damping of the faces in the place of their own [N m s/rad].
[[nodiscard]] std::vector<std::complex<double>> slipping_eigenvalues(const Assembled& slipping,
                                                                     const SlippingAt& at,
                                                                     double face_damping);

/// The least damped of them that swings in the judder band, with a margin to either side for
/// trucks; nothing if there is none.
[[nodiscard]] std::optional<std::complex<double>> judder_mode(
    const std::vector<std::complex<double>>& eigenvalues);

/// What the measures of a take-up must know of its clutch.
[[nodiscard]] ClutchFacts clutch_facts(const Scenario& scenario, const TakeUp& take_up,
                                       const Assembled& assembled);

}  // namespace damper
