// SPDX-License-Identifier: MIT
// Result files made into something else, for tests of their readers.
#pragma once

#include "libdamper/results/seal.hpp"

#include <cstddef>
#include <doctest/doctest.h>
#include <functional>
#include <hdf5.h>
#include <vector>

namespace damper::testing {

/// A sealed result file after `change`, sealed again.
inline std::vector<std::byte> forged(const std::vector<std::byte>& sealed,
                                     const std::function<void(hid_t file)>& change) {
    const auto inner = under_seal(sealed);
    std::vector<std::byte> image(inner.begin(), inner.end());
    const hid_t access = H5Pcreate(H5P_FILE_ACCESS);
    REQUIRE(H5Pset_fapl_core(access, 1 << 16, false) >= 0);
    REQUIRE(H5Pset_file_image(access, image.data(), image.size()) >= 0);
    const hid_t file = H5Fopen("forged", H5F_ACC_RDWR, access);
    REQUIRE(file >= 0);
    change(file);
    REQUIRE(H5Fflush(file, H5F_SCOPE_GLOBAL) >= 0);
    image.resize(static_cast<std::size_t>(H5Fget_file_image(file, nullptr, 0)));
    REQUIRE(H5Fget_file_image(file, image.data(), image.size()) >= 0);
    H5Fclose(file);
    H5Pclose(access);
    add_seal(image);
    return image;
}

}  // namespace damper::testing
