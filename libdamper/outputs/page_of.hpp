// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/any_record.hpp"

#include <string>

namespace damper {

/// The page of a record of any kind: the one that the verb which made the record leaves.
[[nodiscard]] std::string page_of(const AnyRecord& record);

}  // namespace damper
