// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace damper {

/// Cyclic redundancy check of 32 bits as in ISO/IEC 8802-3 (Ethernet): reflected polynomial
/// 0xEDB88320, begun and ended with all bits set. Finds torn and flipped bytes, not ill will.
[[nodiscard]] std::uint32_t crc32(std::span<const std::byte> bytes);

}  // namespace damper
