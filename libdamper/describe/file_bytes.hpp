// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <variant>

namespace damper {

/// Why a file gives no bytes, in words: "no such file", "a folder" …
struct NoBytes {
    std::string why;
};

/// All bytes of a regular file of at most `most` bytes, never waiting for a pipe to be written.
/// Throws FileError if the file system refuses to read what is there.
[[nodiscard]] std::variant<std::string, NoBytes> file_bytes(const std::filesystem::path& file,
                                                            std::size_t most);

}  // namespace damper
