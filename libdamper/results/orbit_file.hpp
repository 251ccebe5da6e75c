// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/orbit_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of steady motions: HDF5 that opens in h5py, xarray and the netCDF library without our
/// code. Root attributes say what it is ("format" = "damper orbit"), where it came from, which
/// curve was followed, and in what: attribute `key` is empty where the parameter is the engine
/// speed.
///
///     /orbit    axes point (from 1, in the order in which the curve was followed, so that it may
///               go back over parameters it has passed), order, signal and gear; along them
///               parameter, speeds, torques, stability, amplitudes 0 to peak of each signal by
///               point and order, swings peak to peak by point and signal, rattle ratios by point
///               and loose gear
///     /folds /jumps /gaps    parameters at which the curve turns, between which up- and
///                            down-sweep differ, over which there is no curve
///     /unsettled    where nothing that repeats was found, and what an exact run does there
///     /checks   exact runs begun on the curve, with the amplitudes of both by order
///
/// Stability is -1 where it is not known, else 0 or 1; the multiplier is then not a number.
///
/// Built in memory and sealed as a result is (seal.hpp); equal records give equal bytes.
/// Throws ModelError if the lists of a record do not fit together, FileError if HDF5 fails.
[[nodiscard]] std::vector<std::byte> orbit_bytes(const OrbitRecord& record);

/// The same, renamed into place (base/atomic_file.hpp). Throws FileError.
void write_orbit(const std::filesystem::path& path, const OrbitRecord& record);

}  // namespace damper
