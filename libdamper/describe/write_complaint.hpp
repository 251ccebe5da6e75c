// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/diagnosis/knowledge.hpp"

#include <string>
#include <vector>

namespace damper {

/// A line of a complaint file that is still to be filled in.
struct OpenLine {
    std::string group;  ///< Stands above the first line of those that share it; or empty.
    std::string key, value;
    std::vector<std::string> says;  ///< A line each, above it.
};

/// What can still be put into a complaint, table by table.
struct OpenLines {
    std::vector<OpenLine> answers, measured, recordings;
    std::vector<std::string> on_recordings = {};  ///< Lines above all recordings.
};

/// A complaint as a file that read_complaint() takes. Texts are escaped, so that nothing in them
/// becomes a key. Open lines stand in it as comments, those of keys that are given are left out.
[[nodiscard]] std::string complaint_toml(const Complaint& complaint, const OpenLines& open = {});

}  // namespace damper
