// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/cover_record.hpp"
#include "libdamper/results/heat_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of a clutch cover: HDF5 that opens in h5py, xarray and the netCDF library without our
/// code. Root attributes say what it is ("format" = "damper cover") and where it came from.
///
///     /states        the clutch new, as it is and worn
///     /spring        load over deflection of the spring
///     /wear          clamp load with its tolerance band, and capacity, over wear
///     /release_new … load, lift and capacity over bearing travel, a group a state
///     /temperatures  friction and capacity
///     /cases         what common faults would make of it
///     /measured_1 …  a measured curve, the computed one and their deviation
///     /measures      the numbers, with limits where they were judged
///     /verdict       grade, reasons, judgements, cautions
///
/// Built in memory and sealed as a result is (seal.hpp); equal records give equal bytes.
/// Throws FileError if HDF5 fails.
[[nodiscard]] std::vector<std::byte> cover_bytes(const CoverRecord& record);
/// The same, renamed into place (base/atomic_file.hpp). Throws FileError.
void write_cover(const std::filesystem::path& path, const CoverRecord& record);

/// The file of starts and heat ("format" = "damper heat"):
///
///     /starts    one start on the level and one on the hill
///     /steps     starts in a row, with the bulk temperatures of the plates before and after
///     /history   bulk temperatures of the plates over time
///     /measures  the numbers, with limits where they were judged
///     /verdict   grade, reasons, judgements, cautions
[[nodiscard]] std::vector<std::byte> heat_bytes(const HeatRecord& record);
void write_heat(const std::filesystem::path& path, const HeatRecord& record);

}  // namespace damper
