// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// Version of program and library, "0.1.0". File formats and numerics have versions of their own.
[[nodiscard]] const char* program_version();

}  // namespace damper
