// SPDX-License-Identifier: MIT
#include "libdamper/base/file_lock.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/file_reason.hpp"

#include <cerrno>
#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <system_error>

namespace damper {

namespace {

/// Whether the open file is still the one that the path names.
bool still_named(int file, const std::filesystem::path& path) {
    struct stat by_file {};
    struct stat by_path {};
    return ::fstat(file, &by_file) == 0 && ::lstat(path.c_str(), &by_path) == 0 &&
           by_file.st_dev == by_path.st_dev && by_file.st_ino == by_path.st_ino;
}

FileDescriptor open_locked(const std::filesystem::path& lock_file,
                           const std::filesystem::path& busy) {
    // The holder before us removes the file while we may have it open already: then our lock is
    // on a file without a name, which excludes nobody, and we must begin again. A round is lost
    // only if another holder finished in the meantime.
    for (;;) {
        FileDescriptor file(
            ::open(lock_file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666));
        if (!file.is_open()) throw_file_error(busy, "cannot be written", errno);
        int result = 0;
        do {
            result = ::flock(file.number(), LOCK_EX | LOCK_NB);
        } while (result != 0 && errno == EINTR);
        if (result != 0 && errno == EWOULDBLOCK) {
            throw BusyError(busy.string() +
                            ": another run is writing here; wait for it, or choose another output");
        }
        if (result != 0) throw_file_error(busy, "cannot be locked", errno);
        if (still_named(file.number(), lock_file)) return file;
    }
}

const std::filesystem::path& made(const std::filesystem::path& folder) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) throw_file_error(folder, "the folder cannot be made", error.value());
    return folder;
}

}  // namespace

FileLock::FileLock(const std::filesystem::path& lock_file, const std::filesystem::path& busy)
    : lock_file_(lock_file), file_(open_locked(lock_file, busy)) {}

FileLock::~FileLock() {
    // Removed before it is let go, so that only the holder ever removes.
    if (file_.is_open()) (void)::unlink(lock_file_.c_str());
}

OutputLock::OutputLock(const std::filesystem::path& folder)
    : lock_(made(folder) / ".damper.lock", folder) {}

}  // namespace damper
