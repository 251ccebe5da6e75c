// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// The seal of a result file: one line of text behind the HDF5 data with their SHA-256,
/// "\ndamper-sha256 <64 digits>\n". Readers of HDF5 ignore what stands behind the data.
///
/// Why: HDF5 has no check of its own over all of its structure. Of files with a few bytes changed
/// at random, some read without an error but with other names or numbers, and some 3 in 100 crash
/// the HDF5 library (1.10.8, tried); no check from outside stops those. With the seal, bytes that
/// were damaged never reach the library. A seal in a second file could not be renamed together
/// with the first: a reader between the two renames would refuse a good file.
///
/// The seal does not stop someone who means harm and seals again. Against him stand the checks of
/// h5_read.hpp, but not against faults inside the HDF5 library. Reading in a process of its own
/// was weighed and left out: it would turn a crash into a message, but whoever can make the
/// library crash at will can do as much in a child with the same rights.
void add_seal(std::vector<std::byte>& image);

/// The HDF5 data if the seal is there and right, else an empty span.
[[nodiscard]] std::span<const std::byte> under_seal(std::span<const std::byte> sealed);

}  // namespace damper
