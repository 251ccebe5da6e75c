// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

namespace damper {

/// That a record hangs together: lists that belong together have one length, indices point to
/// something, names can be names in a file and are given once. Throws ModelError with a sentence.
/// Asked before writing and after reading, so that whoever reads a result may rely on it.
void check_record(const RunRecord& record);

}  // namespace damper
