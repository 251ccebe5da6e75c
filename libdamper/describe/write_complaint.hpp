// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"

#include <string>

namespace damper {

/// A complaint as a file that read_complaint() takes. Texts are escaped, so that nothing in them
/// becomes a key.
[[nodiscard]] std::string complaint_toml(const Complaint& complaint);

}  // namespace damper
