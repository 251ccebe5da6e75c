// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/file_descriptor.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/base/file_reason.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <fcntl.h>
#include <fmt/format.h>
#include <string>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

namespace damper {

namespace {

namespace fs = std::filesystem;

fs::path folder_of(const fs::path& path) {
    return path.has_parent_path() ? path.parent_path() : fs::path(".");
}

/// Renaming over a device or a pipe would replace it by a file.
void refuse_what_is_no_file(const fs::path& path) {
    if (!path.has_filename()) throw FileError(path.string() + ": a file name is missing");
    std::error_code error;
    const fs::file_status status = fs::symlink_status(path, error);
    if (fs::exists(status) && !fs::is_regular_file(status) && !fs::is_symlink(status)) {
        throw FileError(path.string() + ": cannot be written: it is there and not a regular file");
    }
}

/// What killed writers of this file left. Call only while holding the lock.
void remove_stale_parts(const fs::path& path) {
    const std::string prefix = path.filename().string() + ".part.";
    std::error_code error;
    std::vector<fs::path> stale;
    for (fs::directory_iterator at(folder_of(path), error), end; !error && at != end;
         at.increment(error)) {
        const std::string name = at->path().filename().string();
        const bool is_part = name.size() > prefix.size() && name.starts_with(prefix) &&
                             name.find_first_not_of("0123456789", prefix.size()) == name.npos;
        if (is_part) stale.push_back(at->path());
    }
    // A part that cannot be removed harms nobody; the write itself will say if the folder is
    // read-only.
    for (const fs::path& part : stale) fs::remove(part, error);
}

void write_all(int file, std::span<const std::byte> bytes, const fs::path& path) {
    while (!bytes.empty()) {
        const ssize_t written = ::write(file, bytes.data(), bytes.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) throw_file_error(path, "cannot be written", errno);
        bytes = bytes.subspan(static_cast<std::size_t>(written));
    }
}

void sync(int file, const fs::path& path) {
    int result = 0;
    do {
        result = ::fsync(file);
    } while (result != 0 && errno == EINTR);
    // Some file systems cannot sync a folder and say so; there is nothing to be done then.
    if (result != 0 && errno != EINVAL && errno != ENOTSUP) {
        throw_file_error(path, "cannot be brought to the disk", errno);
    }
}

void write_part(const fs::path& part, std::span<const std::byte> bytes, const fs::path& path) {
    FileDescriptor file(
        ::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666));
    if (!file.is_open()) throw_file_error(path, "cannot be written", errno);
    write_all(file.number(), bytes, path);
    sync(file.number(), path);
    if (!file.close()) throw_file_error(path, "cannot be written", errno);
}

}  // namespace

void write_file_atomically(const fs::path& path, std::span<const std::byte> bytes) {
    refuse_what_is_no_file(path);
    const FileLock lock(path.string() + ".lock", path);
    remove_stale_parts(path);
    const fs::path part = fmt::format("{}.part.{}", path.string(), ::getpid());
    try {
        write_part(part, bytes, path);
        if (::rename(part.c_str(), path.c_str()) != 0) {
            throw_file_error(path, "cannot be put in place", errno);
        }
    } catch (...) {
        (void)::unlink(part.c_str());
        throw;
    }
    FileDescriptor folder(::open(folder_of(path).c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    // A folder may be writable and yet not readable; the file is in place all the same.
    if (folder.is_open()) sync(folder.number(), folder_of(path));
}

void write_file_atomically(const fs::path& path, std::string_view text) {
    write_file_atomically(path, std::as_bytes(std::span(text.data(), text.size())));
}

std::vector<std::byte> read_file(const fs::path& path, std::size_t limit) {
    // Without O_NONBLOCK a pipe in place of a file would be waited for.
    FileDescriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    if (!file.is_open() && (errno == ENOENT || errno == ENOTDIR)) {
        throw InputError(path.string() + ": there is no such file");
    }
    struct stat status {};
    if (!file.is_open() || ::fstat(file.number(), &status) != 0) {
        throw_file_error(path, "cannot be read", errno);
    }
    if (!S_ISREG(status.st_mode)) throw InputError(path.string() + ": is not a regular file");
    if (static_cast<std::size_t>(status.st_size) > limit) {
        throw InputError(fmt::format("{}: has {} bytes; at most {} are read", path.string(),
                                     status.st_size, limit));
    }
    std::vector<std::byte> bytes(static_cast<std::size_t>(status.st_size));
    std::size_t got = 0;
    while (got < bytes.size()) {
        const ssize_t more = ::read(file.number(), bytes.data() + got, bytes.size() - got);
        if (more < 0 && errno == EINTR) continue;
        if (more < 0) throw_file_error(path, "cannot be read", errno);
        if (more == 0) break;  // it became shorter while we read
        got += static_cast<std::size_t>(more);
    }
    bytes.resize(got);
    return bytes;
}

}  // namespace damper
