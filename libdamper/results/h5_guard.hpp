// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_handle.hpp"

#include <cstdint>

namespace damper {

/// Looks through a file as h5_read.hpp promises. `file_size` [bytes]. Throws H5Failure.
void guard_file(hid_t file, std::uint64_t file_size);

}  // namespace damper
