// SPDX-License-Identifier: MIT
#include "libdamper/base/file_reason.hpp"

#include "libdamper/base/error.hpp"

#include <cerrno>
#include <system_error>

namespace damper {

std::string file_reason(int error_number) {
    switch (error_number) {
        case ENOSPC:
            return "the disk is full";
        case EDQUOT:
            return "the disk quota is used up";
        case EROFS:
            return "the file system is read-only";
        case EACCES:
        case EPERM:
            return "no permission";
        case ENOENT:
            return "there is no such file or folder";
        case ENOTDIR:
            return "a part of the path is not a folder";
        case EISDIR:
            return "it is a folder";
        case ENAMETOOLONG:
            return "the name is too long";
        case ELOOP:
            return "symbolic links lead round in a circle";
        case EFBIG:
            return "the file would be larger than is allowed";
        case EIO:
            return "the device reported an error";
        case EMFILE:
        case ENFILE:
            return "too many files are open";
        default:
            return std::generic_category().message(error_number);
    }
}

void throw_file_error(const std::filesystem::path& path, const std::string& action,
                      int error_number) {
    throw FileError(path.string() + ": " + action + ": " + file_reason(error_number));
}

}  // namespace damper
