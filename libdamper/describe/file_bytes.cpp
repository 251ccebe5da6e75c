// SPDX-License-Identifier: MIT
#include "libdamper/describe/file_bytes.hpp"

#include "libdamper/base/error.hpp"

#include <cerrno>
#include <cstdint>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

namespace damper {

namespace {

struct Descriptor {
    int number;
    explicit Descriptor(int opened) : number(opened) {}
    ~Descriptor() {
        if (number >= 0) ::close(number);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
};

[[noreturn]] void refused(const std::filesystem::path& file, int reason) {
    throw FileError(fmt::format("{} cannot be read: {}", file.generic_string(),
                                std::generic_category().message(reason)));
}

const char* what_it_is(mode_t mode) {
    if (S_ISDIR(mode)) return "a folder";
    if (S_ISFIFO(mode)) return "a pipe";
    return "no regular file";
}

}  // namespace

std::variant<std::string, NoBytes> file_bytes(const std::filesystem::path& file, std::size_t most) {
    // Without O_NONBLOCK a pipe without a writer would wait for ever.
    const Descriptor opened(::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
    if (opened.number < 0) {
        if (errno == ENOENT || errno == ENOTDIR) return NoBytes{"no such file"};
        if (errno == ENXIO || errno == ENODEV) return NoBytes{"no regular file"};
        if (errno == ELOOP) return NoBytes{"a symbolic link to itself"};
        if (errno == ENAMETOOLONG) return NoBytes{"a name that is too long"};
        refused(file, errno);
    }
    struct stat status {};
    if (::fstat(opened.number, &status) != 0) refused(file, errno);
    if (!S_ISREG(status.st_mode)) return NoBytes{what_it_is(status.st_mode)};
    const NoBytes too_many{fmt::format("a file of more than {} bytes", most)};
    if (status.st_size > 0 && static_cast<std::uintmax_t>(status.st_size) > most) return too_many;
    std::string bytes;
    std::string piece(64UL * 1024UL, '\0');
    while (true) {
        const ssize_t got = ::read(opened.number, piece.data(), piece.size());
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) refused(file, errno);
        if (got == 0) return bytes;
        bytes.append(piece, 0, static_cast<std::size_t>(got));
        if (bytes.size() > most) return too_many;
    }
}

}  // namespace damper
