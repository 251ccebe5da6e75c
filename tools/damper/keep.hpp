// SPDX-License-Identifier: MIT
#pragma once

#include <functional>
#include <string>

namespace damper::command {

/// What a verb leaves in a folder: its file of results, its page and what it prints.
struct ToKeep {
    std::string folder;  ///< From --out; empty: nothing is left.
    std::string name;    ///< Of the files, without ending.
    std::string format;  ///< "text", "json" or "csv".
    std::function<void(const std::string& path)> write_results;
    std::function<std::string()> page;
};

/// Leaves it, under a lock, each file complete or not at all. A text for people then says where.
/// Throws FileError if the file system refuses, BusyError if another run holds the folder.
void keep(const ToKeep& what, std::string& text);

}  // namespace damper::command
