// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/modes_record.hpp"

#include <string>

namespace damper {

/// Natural modes for a terminal, 100 columns where names allow: modes of all gears with their
/// energy, the speeds at which the orders of the engine meet them, and what moves them.
[[nodiscard]] std::string modes_text(const ModesRecord& record);

/// One line a mode, in SI units, with a line of headings; lists as columns of their own are in the
/// JSON and the HDF5 file.
[[nodiscard]] std::string modes_csv(const ModesRecord& record);

/// Everything that the record holds. Frequencies in Hz, speeds in rad/s.
[[nodiscard]] std::string modes_json(const ModesRecord& record);

}  // namespace damper
