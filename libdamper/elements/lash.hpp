// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/law.hpp"

namespace damper {

/// Two faces with play between them: teeth, splines, joints.
///
///     free          τ = 0                        |δ| < gap/2
///     drive, coast  τ = k·p + c·δ'               p = δ ∓ gap/2, while the faces push
///     parting       τ = 0                        faces still inside each other, no longer pushing
///
/// A damped contact stops pushing before the penetration p is back to zero; letting it pull until
/// then would be glue. The face is taken to relax without hindering the parting; what its spring
/// still held is booked as lost. Pushing begins again if k·p + c·δ' would be positive again, and
/// the gap is free when p changes sign.
///
/// Restitution of a single mass J on such a contact, with damping ratio ζ = c/(2√(kJ)), ending
/// when the force reaches zero: e = 0.858758 for ζ = 0.05, 0.744079 for 0.1, 0.571740 for 0.2
/// (derived; see tests/published).
///
/// Modes: 0 free, 1 drive, 2 drive parting, 3 coast, 4 coast parting.
struct Lash {
    double gap = 0.0;        ///< Whole free twist from face to face [rad], ≥ 0.
    double stiffness = 0.0;  ///< k of either face [N m/rad], > 0.
    double damping = 0.0;    ///< c of either face [N m s/rad], ≥ 0.
};

/// Throws ModelError if a value is out of its range or not finite.
[[nodiscard]] Law lash(const Lash& values);

}  // namespace damper
