// SPDX-License-Identifier: MIT
#include "libdamper/results/sealed_source.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/seal.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t largest_file = std::size_t{1} << 30;  // 1 GiB, some 100 × a long run

bool is_hdf5(std::span<const std::byte> bytes) {
    constexpr std::array<unsigned char, 8> signature{0x89, 'H', 'D', 'F', '\r', '\n', 0x1a, '\n'};
    return bytes.size() >= signature.size() &&
           std::equal(signature.begin(), signature.end(), bytes.begin(),
                      [](unsigned char a, std::byte b) { return std::byte{a} == b; });
}

}  // namespace

std::vector<std::byte> result_file(const std::filesystem::path& path) {
    return read_file(path, largest_file);
}

std::span<const std::byte> sealed_data(std::span<const std::byte> bytes, const std::string& name) {
    if (!is_hdf5(bytes)) throw InputError(name + ": is not an HDF5 file, so it is no result");
    const std::span<const std::byte> image = under_seal(bytes);
    if (image.empty()) {
        throw InputError(name +
                         ": is not as damper wrote it: damaged, cut off, changed by another "
                         "program, or no result at all\n    To mend: run the command again that "
                         "wrote it");
    }
    return image;
}

void require_kind(const GroupIn& root, FileKind kind) {
    const std::string format = read_text(root.id(), "format");
    if (format != kind.format) {
        throw H5Failure(
            fmt::format("found a file of \"{}\", expected \"{}\"", format, kind.format));
    }
    const std::int64_t version = read_integer(root.id(), "format_version");
    if (version != kind.version) {
        throw H5Failure(
            fmt::format("has format version {}; this program reads version {}\n    To "
                        "mend: run the command again that wrote it",
                        version, kind.version));
    }
}

}  // namespace damper
