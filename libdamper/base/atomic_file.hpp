// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <filesystem>
#include <span>
#include <string_view>
#include <vector>

namespace damper {

/// Writes a file so that a reader sees the old one or the new one, never a half: the bytes go to
/// NAME.part.PID, are synced, and take the name last; the folder is synced as well. All under a
/// lock on NAME.lock, which is gone at the end. What killed writers left (NAME.part.*) is removed.
///
/// If it throws, the earlier file is untouched and nothing new lies around:
/// BusyError at once if another writer holds this file; FileError with file and reason if the
/// disk is full, the folder is missing or read-only, or NAME is there but not a regular file
/// (a device, a folder). A symbolic link is replaced, not followed.
void write_file_atomically(const std::filesystem::path& path, std::span<const std::byte> bytes);
void write_file_atomically(const std::filesystem::path& path, std::string_view text);

/// The bytes of a regular file. Throws InputError if there is no such file or it is not a regular
/// one or longer than `limit` bytes, FileError if the file system refuses to hand it out.
[[nodiscard]] std::vector<std::byte> read_file(const std::filesystem::path& path,
                                               std::size_t limit);

}  // namespace damper
