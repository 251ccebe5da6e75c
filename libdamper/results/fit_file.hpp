// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/fit_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of a fitted disc: HDF5 that opens in h5py, xarray and the netCDF library without our
/// code. Root attributes say what it is ("format" = "damper fit") and where it came from.
///
///     /figures   one row a figure of the disc with its 95 % interval, and how it stands to nominal
///     /runs      one row a run of the bench: loops, noise, zero and drift of the torque sensor
///     /points/N  run N, from 1, along its way: twist, torque without zero and drift, what the disc
///                gives there, and whether the twist grows
///     /loop      twist, torque rising and falling of the fitted disc; corners
///     /nominal_loop  the same of the disc it is held against, if there is one
///     /tried     the discs that were tried, best first
///     /notes /findings   what is left open; how it stands to nominal
///
/// Built in memory and sealed as a result is (seal.hpp); equal records give equal bytes.
/// Throws FileError if HDF5 fails.
[[nodiscard]] std::vector<std::byte> fit_bytes(const FitRecord& record);

/// The same, renamed into place (base/atomic_file.hpp). Throws FileError.
void write_fit(const std::filesystem::path& path, const FitRecord& record);

}  // namespace damper
