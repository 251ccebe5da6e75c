// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/any_record.hpp"
#include "libdamper/results/h5_read.hpp"

/// A reader a kind of file, from its root group; inside the room only. Each asks for its kind and
/// version, and that the record hangs together so far that a page can be made of it. All throw
/// H5Failure or ModelError.
namespace damper {

[[nodiscard]] RunRecord read_run(const GroupIn& root);
[[nodiscard]] ModesRecord read_modes(const GroupIn& root);
[[nodiscard]] ResponseRecord read_response(const GroupIn& root);
[[nodiscard]] OrbitRecord read_orbit(const GroupIn& root);
[[nodiscard]] CoverRecord read_cover(const GroupIn& root);
[[nodiscard]] HeatRecord read_heat(const GroupIn& root);
[[nodiscard]] FitRecord read_fit(const GroupIn& root);
[[nodiscard]] StudyRecord read_study(const GroupIn& root);

}  // namespace damper
