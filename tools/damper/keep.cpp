// SPDX-License-Identifier: MIT
#include "tools/damper/keep.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/file_lock.hpp"

#include "tools/damper/terminal.hpp"

#include <filesystem>
#include <fmt/format.h>

namespace damper::command {

void keep(const ToKeep& what, std::string& text) {
    if (what.folder.empty()) return;
    const OutputLock lock(what.folder);
    const std::string stem = (std::filesystem::path(what.folder) / what.name).string();
    const std::string table = stem + (what.format == "text" ? ".txt" : "." + what.format);
    what.write_results(stem + ".h5");
    write_file_atomically(stem + ".html", what.page());
    write_file_atomically(table, text);
    if (what.format != "text") return;
    for (const std::string& path : {stem + ".h5", stem + ".html", table}) {
        text += fmt::format("Written: {}\n", printable(path));
    }
}

}  // namespace damper::command
