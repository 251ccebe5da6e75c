// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/file_descriptor.hpp"

#include <filesystem>

namespace damper {

/// Holds a lock file for as long as it lives; the file is removed at the end.
///
/// The lock is the operating system's (flock), so that a killed process leaves none behind: a
/// lock file that is merely there blocks nobody. Two locks of one process exclude each other as
/// those of two processes do.
class FileLock {
  public:
    /// `busy` says in the message what is being held, "runs/idle.h5".
    /// Throws BusyError at once if another holder exists, FileError if the lock file cannot be
    /// made.
    FileLock(const std::filesystem::path& lock_file, const std::filesystem::path& busy);
    FileLock(FileLock&&) noexcept = default;
    FileLock& operator=(FileLock&&) = delete;
    FileLock(const FileLock&) = delete;
    FileLock& operator=(const FileLock&) = delete;
    ~FileLock();

  private:
    std::filesystem::path lock_file_;
    FileDescriptor file_;
};

/// Keeps two runs from mixing their files in one output folder: a lock on FOLDER/.damper.lock.
class OutputLock {
  public:
    /// Makes the folder if it is missing. Throws BusyError, FileError.
    explicit OutputLock(const std::filesystem::path& folder);

  private:
    FileLock lock_;
};

}  // namespace damper
