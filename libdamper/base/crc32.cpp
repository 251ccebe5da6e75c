// SPDX-License-Identifier: MIT
#include "libdamper/base/crc32.hpp"

#include <array>

namespace damper {

namespace {

constexpr std::array<std::uint32_t, 256> table = [] {
    std::array<std::uint32_t, 256> made{};
    for (std::uint32_t byte = 0; byte < made.size(); ++byte) {
        std::uint32_t rest = byte;
        for (int bit = 0; bit < 8; ++bit) {
            rest = (rest & 1U) != 0 ? (rest >> 1U) ^ 0xEDB88320U : rest >> 1U;
        }
        made[byte] = rest;
    }
    return made;
}();

}  // namespace

std::uint32_t crc32(std::span<const std::byte> bytes) {
    std::uint32_t sum = 0xFFFFFFFFU;
    for (const std::byte byte : bytes) {
        sum = table[(sum ^ std::to_integer<std::uint32_t>(byte)) & 0xFFU] ^ (sum >> 8U);
    }
    return ~sum;
}

}  // namespace damper
