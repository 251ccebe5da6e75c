// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <string_view>

namespace damper {

/// SHA-256 of bytes that arrive piece by piece.
///
/// Source: NIST FIPS 180-4 (2015), Secure Hash Standard: §4.1.2 functions, §4.2.2 constants,
/// §5.1.1 padding, §5.3.3 initial hash value, §6.2.2 computation.
class Sha256 {
  public:
    Sha256& add(std::span<const std::byte> bytes);
    /// The digest of all that was added, 64 lower-case hexadecimal digits. Ends the object's use.
    [[nodiscard]] std::string finish();

  private:
    void take_block(const std::byte* block);

    std::array<std::uint32_t, 8> hash_{0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                       0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    std::array<std::byte, 64> block_{};
    std::size_t filled_ = 0;    ///< Bytes that wait in `block_`.
    std::uint64_t length_ = 0;  ///< Bytes added so far.
};

/// SHA-256 as 64 lower-case hexadecimal digits.
[[nodiscard]] std::string sha256_hex(std::span<const std::byte> bytes);
[[nodiscard]] std::string sha256_hex(std::string_view text);

/// SHA-256 of a file's bytes. Throws FileError if it cannot be read.
[[nodiscard]] std::string sha256_hex_of_file(const std::filesystem::path& path);

}  // namespace damper
