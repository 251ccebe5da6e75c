// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of natural modes: HDF5 that opens in h5py, xarray and the netCDF library without our
/// code. Root attributes say what it is ("format" = "damper modes") and where it came from.
///
///     /gears      one row a gear: operating point and the name of its group below /modes
///     /orders     orders of the engine
///     /modes/G    axes mode (from 1), inertia, element (names) and order; along them
///                 frequency, damping, shapes, shares of energy, what changes each frequency by how
///                 much, and critical speeds; a shape divided by the root of its modal inertia is
///                 normalised to mass; influences: values of the description by mode, strongest
///                 first
///     /slipping   of a take-up: one row a clamp load, and a group each (1, 2 …) with axes mode and
///                 inertia: frequency, growth, damping and shape while the clutch slips
///
/// Built in memory and sealed as a result is (seal.hpp); equal records give equal bytes.
/// Throws ModelError if the lists of a record do not fit together, FileError if HDF5 fails.
[[nodiscard]] std::vector<std::byte> modes_bytes(const ModesRecord& record);

/// The same, renamed into place (base/atomic_file.hpp). Throws FileError.
void write_modes(const std::filesystem::path& path, const ModesRecord& record);

}  // namespace damper
