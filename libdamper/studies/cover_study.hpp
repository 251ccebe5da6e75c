// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/clutch_model.hpp"
#include "libdamper/describe/measured_table.hpp"
#include "libdamper/results/cover_record.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <filesystem>
#include <optional>
#include <string>

namespace damper {

/// What `damper cover` is asked.
struct CoverSettings {
    double torque = 0.0;                   ///< To be held [N m]; 0: the engine's peak torque.
    double warm = 273.15 + 100.0;          ///< [K]
    double hot = 273.15 + 200.0;           ///< [K]
    std::optional<MeasuredTable> clamp;    ///< Columns "wear", "load".
    std::optional<MeasuredTable> release;  ///< Columns "travel", "load", "lift"; one may be absent.
    std::string command_line;
};

/// Clamp, wear, release and capacity of a vehicle's clutch, new, as it is and worn, with limits.
/// Quasi-static: nothing here depends on how fast it happens. Throws InputError as clutch_model().
[[nodiscard]] CoverRecord study_cover(const Scenario& scenario, const CoverSettings& settings);

/// Reads a measured clamp load over wear (way of the plate since new, all faces together).
[[nodiscard]] MeasuredTable read_clamp_table(const std::filesystem::path& file);
/// Reads measured release load and/or plate lift over bearing travel.
[[nodiscard]] MeasuredTable read_release_table(const std::filesystem::path& file);

}  // namespace damper
