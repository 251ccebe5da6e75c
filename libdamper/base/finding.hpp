// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <vector>

namespace damper {

/// A place in a text file. Lines and columns count from 1; 0 means "the file as a whole".
struct Place {
    std::string file;
    int line = 0;
    int column = 0;
    std::string quote;  ///< The text of that line, shown under the message; may be empty.
};

/// One remark on the input, written for the person who owns the file:
/// where, which key, what was found, what was expected, how to mend it.
struct Finding {
    Place place;
    std::string key;       ///< Key path as the user writes it, "disc.stages[1].drive_end".
    std::string found;     ///< What stands there, in the user's words.
    std::string expected;  ///< What would be right.
    std::string mend;      ///< How to mend it; may be empty.
};

/// "file:line:col: key: found … — expected …", the quoted line with a caret, and the mend.
[[nodiscard]] std::string to_text(const Finding& finding);

/// All findings, sorted by place, at most 20 shown; the rest is counted.
[[nodiscard]] std::string to_text(std::vector<Finding> findings);

}  // namespace damper
