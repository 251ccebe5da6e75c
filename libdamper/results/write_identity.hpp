// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_write.hpp"
#include "libdamper/results/run_record.hpp"

#include <cstdint>
#include <string>

namespace damper {

/// What a file says it is.
struct FileKind {
    const char* format = "";
    std::int64_t version = 0;
};

/// Root attributes and tables that say what a file is and where it came from. `solver` is left out
/// if empty.
void write_identity(GroupOut& root, const RunIdentity& identity, FileKind kind,
                    const std::string& solver);

}  // namespace damper
