// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <cstddef>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// The result file: HDF5 that opens in h5py, xarray and the netCDF library without our code.
///
/// Root attributes say what the file is and where it came from. Every group below is a table: its
/// columns share one dimension scale (`time`, `order`, `twist`, else `index`) and carry `units`
/// (UDUNITS) and `long_name`.
///
///     /provenance      attributes created, host: what comparisons leave out
///     /inputs /conditions /changes
///     /model/…         inertias, elements, rows, parts, modes, guards, smooth, inputs, …,
///                      gear_path
///     /signals         one dataset a signal; attribute measured_from [s]
///     /events/…        elements, modes (names); impacts, changes (tables that point to them)
///     /spectra/SIGNAL  order, amplitude
///     /course          speed; firing order of accelerations and shaft torque over engine speed,
///                      attribute order (pull and overrun; else empty)
///     /disc_loop       twist, upward, downward; corners
///     /flywheel_loop   the same of a two-mass flywheel, if there is one
///     /stage_use /gear_impacts
///     /measures/NAME   single number with units, definition, better; limit and verdict if judged;
///                      half_width, confidence, batches, cycles_per_batch where it is known how
///                      certain it is (batches 0: exact, the motion repeats)
///     /bands
///     /verdict         attributes grade, headline; reasons, judgements, cautions
///     /energy          by element; unbalanced, residual
///     /solver          attributes; warnings
///
/// Of the attributes of /solver, those of the start (StartReport): start "steady" or "periodic";
/// start_periodic 1 if a stable periodic motion was found, then start_period_cycles (engine
/// cycles), start_period [s], start_multiplier and start_next_multiplier (magnitudes),
/// start_mean_speed (1: the largest is that of the mean speed), start_edge; else start_why_not;
/// start_cycles_run (engine cycles of settling and search). Those of the end (StopReport):
/// stop_reason "length", "certain", "quiet", "repeats" or "longest"; stop_share asked for (0: a
/// fixed length), stop_share_reached (infinite: no interval), stop_longest [s], stop_cycles.
///
/// Equal records give equal bytes. The last line of the file is the SHA-256 of the rest (seal.hpp).

/// The bytes of the result file. Throws ModelError if the record does not hang together
/// (check_record.hpp), FileError if there is not enough memory to build it.
[[nodiscard]] std::vector<std::byte> result_bytes(const RunRecord& record);

/// Writes the result file as write_file_atomically does. Throws what result_bytes and
/// write_file_atomically throw; an earlier file is then untouched.
void write_result(const std::filesystem::path& path, const RunRecord& record);

/// Reads a result file. Throws InputError if it is not there, no result, of a newer format,
/// changed since it was written, or not as a result must be; FileError if the file system refuses.
/// Files up to 1 GiB. A file made by someone who means harm cannot make the reader open other
/// files or take memory without end; against faults of the HDF5 library itself it does not guard.
[[nodiscard]] RunRecord read_result(const std::filesystem::path& path);

/// The same from bytes; `name` stands in messages.
[[nodiscard]] RunRecord parse_result(std::span<const std::byte> bytes, const std::string& name);

}  // namespace damper
