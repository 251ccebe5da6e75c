// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/study_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of a study: one plain HDF5 file ("format" = "damper study") that opens in h5py, xarray
/// and the netCDF library without our code; no links to shards.
///
///     /keys       what was varied, and how it was asked for
///     /variants   by variant: its number, how it ended, the value of each key (attribute `key`)
///     /measures   by variant, in the same order: each measure; not a number where a variant
///                 lacks it
///     /grades     the same of its grade: 0 good, 1 watch, 2 bad, -1 not judged
///     /limits /statistics   what the variants say together
///     /influences, /effects or /indices   which key matters, as the design allows
///     /failures /missing    variants without measures, and those that are not there
///     /head       what the study is, in the words of its shards (study_head.hpp)
///
/// Root attributes hold counts and the hashes of model and study. Sealed as a result is (seal.hpp).
/// Throws FileError if HDF5 fails.
[[nodiscard]] std::vector<std::byte> study_bytes(const StudyRecord& record);

/// The same, renamed into place (base/atomic_file.hpp). Throws FileError.
void write_study(const std::filesystem::path& path, const StudyRecord& record);

}  // namespace damper
