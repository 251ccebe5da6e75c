// SPDX-License-Identifier: MIT
#include "libdamper/results/seal.hpp"

#include "libdamper/base/digest.hpp"

#include <algorithm>
#include <string>
#include <string_view>

namespace damper {

namespace {

std::string seal_of(std::span<const std::byte> image) {
    return "\ndamper-sha256 " + sha256_hex(image) + "\n";
}

constexpr std::size_t seal_length = std::string_view("\ndamper-sha256 \n").size() + 64;

}  // namespace

void add_seal(std::vector<std::byte>& image) {
    const std::string seal = seal_of(image);
    const auto bytes = std::as_bytes(std::span(seal.data(), seal.size()));
    image.insert(image.end(), bytes.begin(), bytes.end());
}

std::span<const std::byte> under_seal(std::span<const std::byte> sealed) {
    if (sealed.size() <= seal_length) return {};
    const auto image = sealed.first(sealed.size() - seal_length);
    const std::string expected = seal_of(image);
    const auto bytes = std::as_bytes(std::span(expected.data(), expected.size()));
    const auto found = sealed.last(seal_length);
    return std::equal(found.begin(), found.end(), bytes.begin()) ? image
                                                                 : std::span<const std::byte>{};
}

}  // namespace damper
