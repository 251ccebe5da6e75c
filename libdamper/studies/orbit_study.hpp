// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/results/orbit_record.hpp"
#include "libdamper/studies/orbit_family.hpp"
#include "libdamper/studies/varied_course.hpp"

#include <optional>

namespace damper {

struct OrbitStudySettings {
    OrbitRequest request;
    /// A key in the place of the engine speed; the speeds of the request are not used then.
    std::optional<OrbitVary> vary = {};
    double largest_step = 0.03;  ///< Of the range, from one point of the curve to the next.
    bool stability = true;       ///< Judge every point by its monodromy matrix.
    int checks = 0;              ///< Exact runs over the range, loose gears free.
    int most_harmonics = 48;     ///< 4…200
    int periods_of_check = 60;   ///< Run through before those that are measured.
    /// Where the curve breaks off, it is taken up again this share of the range further down.
    double restart_after = 0.01;
};

/// Steady motions of a scenario's vehicle over engine speed: followed from the quieter end of the
/// range (the upper one), past folds, each judged by an exact run over one period with its
/// derivative. Throws InputError as OrbitFamily does. With a key to vary, the same over its values,
/// at a held engine speed.
///
/// The identity is left to the caller.
[[nodiscard]] OrbitRecord find_orbits(const Scenario& scenario, const OrbitStudySettings& settings,
                                      const Progress& progress = {});

}  // namespace damper
