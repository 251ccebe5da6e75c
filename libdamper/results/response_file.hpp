// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/response_record.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace damper {

/// The file of a response: HDF5 like the result of a run (result_file.hpp), sealed the same way,
/// with `format` "damper response".
///
///     /band            frequency [Hz] that curves and stages run along
///     attributes       as of a result; gear, engine_speed [rad/s], engine_torque, disc_torque
///                      [N m], stage, disc_stiffness [N m/rad], firing_order, firing_frequency
///                      [Hz], firing_torque [N m], from, friction, swing [N m]
///     /provenance /inputs /conditions /changes
///     /model/…         inertias, elements, rows: M, C and K with friction slipping
///     /spectra/NAME    frequency [Hz], magnitude, phase [rad]: one group a response
///     /isolation/NUMBER_STAGE_SIDE  frequency, slips, sticks: gearbox input over flywheel
///     /equivalent      frequency, twist, mean_twist, stiffness, damping, isolation, mismatch,
///                      smaller_twist, smaller_isolation; empty if it was not asked for
///     /equivalent_at_firing  the same at the firing frequency, one row
///     /resonances      response, frequency, peak, damping (NaN: no −3 dB width)
///     /stages          stage, side, torque, stiffness, slips, sticks (at the firing frequency)
///     /remarks
///
/// `frequency` is a dimension scale in each group. Equal records give equal bytes.

/// The bytes of the file. Throws ModelError if the record does not hang together (a curve of
/// another length than the frequencies, a name that no group can have), FileError if there is not
/// enough memory.
[[nodiscard]] std::vector<std::byte> response_bytes(const ResponseRecord& record);

/// Writes the file as write_file_atomically does; an earlier file is untouched if that fails.
void write_response(const std::filesystem::path& path, const ResponseRecord& record);

}  // namespace damper
