// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/error.hpp"
#include "libdamper/results/h5_read.hpp"
#include "libdamper/results/write_identity.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// The bytes of a file of results, at most 1 GiB. Throws InputError if it is not there or larger,
/// FileError if the file system refuses.
[[nodiscard]] std::vector<std::byte> result_file(const std::filesystem::path& path);

/// The HDF5 data of a sealed file. Throws InputError if it is no HDF5 file or the seal is broken;
/// `name` stands in messages.
[[nodiscard]] std::span<const std::byte> sealed_data(std::span<const std::byte> bytes,
                                                     const std::string& name);

/// Gives the root of a sealed file to `read` and returns what that returns. What is not as it must
/// be becomes an InputError with `name`.
template <class Read>
auto read_sealed(std::span<const std::byte> bytes, const std::string& name, const Read& read) {
    const std::span<const std::byte> image = sealed_data(bytes, name);
    const H5Quiet quiet;
    try {
        H5Source source(image);
        return read(source.root());
    } catch (const H5Failure& failure) {
        throw InputError(name + ": cannot be read as a result: " + failure.what());
    } catch (const ModelError& error) {
        throw InputError(name + ": cannot be read as a result: " + error.what());
    }
}

/// That the file is of that kind and of the version that this program writes. Throws H5Failure
/// with what it is instead and what to do.
void require_kind(const GroupIn& root, FileKind kind);

}  // namespace damper
