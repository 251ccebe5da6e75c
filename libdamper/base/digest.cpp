// SPDX-License-Identifier: MIT
#include "libdamper/base/digest.hpp"

#include "libdamper/base/file_reason.hpp"

#include <algorithm>
#include <bit>
#include <cerrno>
#include <fmt/format.h>
#include <fstream>

namespace damper {

namespace {

// First 32 bits of the fractional parts of the cube roots of the first 64 primes, FIPS 180-4
// §4.2.2.
constexpr std::array<std::uint32_t, 64> round_constants{
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

std::uint32_t big_endian(const std::byte* at) {
    std::uint32_t word = 0;
    for (int i = 0; i < 4; ++i) word = (word << 8) | std::to_integer<std::uint32_t>(at[i]);
    return word;
}

/// The message schedule W, §6.2.2 step 1.
std::array<std::uint32_t, 64> schedule(const std::byte* block) {
    std::array<std::uint32_t, 64> w{};
    for (std::size_t t = 0; t < 16; ++t) w[t] = big_endian(block + 4 * t);
    for (std::size_t t = 16; t < 64; ++t) {
        const std::uint32_t x = w[t - 15];
        const std::uint32_t y = w[t - 2];
        const std::uint32_t small0 = std::rotr(x, 7) ^ std::rotr(x, 18) ^ (x >> 3);
        const std::uint32_t small1 = std::rotr(y, 17) ^ std::rotr(y, 19) ^ (y >> 10);
        w[t] = small1 + w[t - 7] + small0 + w[t - 16];
    }
    return w;
}

}  // namespace

void Sha256::take_block(const std::byte* block) {
    const std::array<std::uint32_t, 64> w = schedule(block);
    auto [a, b, c, d, e, f, g, h] = hash_;
    for (std::size_t t = 0; t < 64; ++t) {
        const std::uint32_t big1 = std::rotr(e, 6) ^ std::rotr(e, 11) ^ std::rotr(e, 25);
        const std::uint32_t choice = (e & f) ^ (~e & g);
        const std::uint32_t t1 = h + big1 + choice + round_constants[t] + w[t];
        const std::uint32_t big0 = std::rotr(a, 2) ^ std::rotr(a, 13) ^ std::rotr(a, 22);
        const std::uint32_t majority = (a & b) ^ (a & c) ^ (b & c);
        const std::uint32_t t2 = big0 + majority;
        h = g;
        g = f;
        f = e;
        e = d + t1;
        d = c;
        c = b;
        b = a;
        a = t1 + t2;
    }
    const std::array<std::uint32_t, 8> worked{a, b, c, d, e, f, g, h};
    for (std::size_t i = 0; i < 8; ++i) hash_[i] += worked[i];
}

Sha256& Sha256::add(std::span<const std::byte> bytes) {
    length_ += bytes.size();
    while (!bytes.empty()) {
        const std::size_t taken = std::min(bytes.size(), block_.size() - filled_);
        std::copy_n(bytes.begin(), taken, block_.begin() + static_cast<std::ptrdiff_t>(filled_));
        filled_ += taken;
        bytes = bytes.subspan(taken);
        if (filled_ == block_.size()) {
            take_block(block_.data());
            filled_ = 0;
        }
    }
    return *this;
}

std::string Sha256::finish() {
    const std::uint64_t bits = length_ * 8;
    const std::byte one{0x80};
    add({&one, 1});
    const std::byte zero{0};
    while (filled_ != 56) add({&zero, 1});
    std::array<std::byte, 8> tail{};
    for (std::size_t i = 0; i < 8; ++i) tail[i] = static_cast<std::byte>(bits >> (56 - 8 * i));
    add(tail);
    std::string hex;
    for (const std::uint32_t word : hash_) hex += fmt::format("{:08x}", word);
    return hex;
}

std::string sha256_hex(std::span<const std::byte> bytes) {
    return Sha256{}.add(bytes).finish();
}

std::string sha256_hex(std::string_view text) {
    return sha256_hex(std::as_bytes(std::span(text.data(), text.size())));
}

std::string sha256_hex_of_file(const std::filesystem::path& path) {
    errno = 0;
    std::ifstream file(path, std::ios::binary);
    if (!file) throw_file_error(path, "cannot be read", errno);
    Sha256 digest;
    std::array<char, 1 << 16> buffer{};
    while (file.read(buffer.data(), buffer.size()) || file.gcount() > 0) {
        digest.add(
            std::as_bytes(std::span(buffer.data(), static_cast<std::size_t>(file.gcount()))));
    }
    if (file.bad()) throw_file_error(path, "cannot be read", errno);
    return digest.finish();
}

}  // namespace damper
