// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_write.hpp"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace damper {

/// The bytes of an HDF5 file with its seal (seal.hpp): `fill` writes into the root group of an
/// image in memory. `what` stands in the message if HDF5 fails ("the result"). Throws FileError
/// then, and whatever `fill` throws.
[[nodiscard]] std::vector<std::byte> sealed_image(const std::string& what,
                                                  const std::function<void(GroupOut& root)>& fill);

}  // namespace damper
