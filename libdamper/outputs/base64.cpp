// SPDX-License-Identifier: MIT
#include "libdamper/outputs/base64.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <stdexcept>

namespace damper {
namespace {

// A cast of a double beyond the range of a float is undefined behaviour.
float narrowed(double value) {
    constexpr double largest = std::numeric_limits<float>::max();
    if (std::abs(value) > largest) {
        return std::copysign(std::numeric_limits<float>::infinity(), value > 0.0 ? 1.0F : -1.0F);
    }
    return static_cast<float>(value);
}

unsigned hex_digit(char c) {
    if (c >= '0' && c <= '9') return static_cast<unsigned>(c - '0');
    if (c >= 'a' && c <= 'f') return static_cast<unsigned>(c - 'a') + 10U;
    throw std::invalid_argument("not a hexadecimal digit");
}

}  // namespace

std::string base64(std::string_view bytes) {
    constexpr std::string_view letters =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    out.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
        std::uint32_t group = 0;
        for (std::size_t k = 0; k < 3; ++k) {
            group = (group << 8U) | (k < count ? static_cast<unsigned char>(bytes[i + k]) : 0U);
        }
        for (std::size_t k = 0; k < 4; ++k) {
            out.push_back(k <= count ? letters[(group >> (18U - 6U * k)) & 63U] : '=');
        }
    }
    return out;
}

std::string base64_floats(std::span<const double> values) {
    std::string bytes;
    bytes.reserve(4 * values.size());
    for (const double value : values) {
        const auto bits = std::bit_cast<std::uint32_t>(narrowed(value));
        for (unsigned shift = 0; shift < 32; shift += 8) {
            bytes.push_back(static_cast<char>((bits >> shift) & 0xFFU));
        }
    }
    return base64(bytes);
}

std::string base64_of_hex(std::string_view digits) {
    if (digits.size() % 2 != 0) throw std::invalid_argument("odd number of hexadecimal digits");
    std::string bytes;
    for (std::size_t i = 0; i < digits.size(); i += 2) {
        bytes.push_back(static_cast<char>(16U * hex_digit(digits[i]) + hex_digit(digits[i + 1])));
    }
    return base64(bytes);
}

}  // namespace damper
