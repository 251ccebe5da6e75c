// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace damper {

/// Why the file system refused, in plain words: "the disk is full" for ENOSPC and so on.
/// `error_number` as in errno.
[[nodiscard]] std::string file_reason(int error_number);

/// Throws FileError "PATH: ACTION: REASON", for example
/// "runs/idle.h5: cannot be written: the disk is full".
[[noreturn]] void throw_file_error(const std::filesystem::path& path, const std::string& action,
                                   int error_number);

}  // namespace damper
