// SPDX-License-Identifier: MIT
#include "libdamper/outputs/base64.hpp"

#include "tests/outputs/decode_base64.hpp"

#include <bit>
#include <cmath>
#include <cstdint>
#include <doctest/doctest.h>
#include <limits>
#include <stdexcept>
#include <vector>

using namespace damper;

TEST_CASE("base 64 agrees with the examples of its standard") {
    // S. Josefsson (2006), RFC 4648, The Base16, Base32, and Base64 Data Encodings, section 10
    // (recalled, not read in the source).
    CHECK(base64("") == "");
    CHECK(base64("f") == "Zg==");
    CHECK(base64("fo") == "Zm8=");
    CHECK(base64("foo") == "Zm9v");
    CHECK(base64("foob") == "Zm9vYg==");
    CHECK(base64("fooba") == "Zm9vYmE=");
    CHECK(base64("foobar") == "Zm9vYmFy");
}

TEST_CASE("bytes come back from base 64") {
    std::string bytes;
    for (int i = 0; i < 1000; ++i) bytes.push_back(static_cast<char>((i * 37 + i / 7) & 0xFF));
    for (std::size_t length = 990; length <= 1000; ++length) {
        CAPTURE(length);
        CHECK(decode_base64(base64(bytes.substr(0, length))) == bytes.substr(0, length));
    }
}

TEST_CASE("floats come back to 32-bit precision, least significant byte first") {
    const std::vector<double> values{0.0,       1.0,    -2.5,
                                     1.0 / 3.0, 1e-40,  3e38,
                                     1e300,     -1e300, std::numeric_limits<double>::quiet_NaN()};
    const auto back = decode_floats(base64_floats(values));
    REQUIRE(back.size() == values.size());
    for (std::size_t i = 0; i < 6; ++i) CHECK(back[i] == static_cast<float>(values[i]));
    CHECK(back[6] == std::numeric_limits<float>::infinity());
    CHECK(back[7] == -std::numeric_limits<float>::infinity());
    CHECK(std::isnan(back[8]));
    const std::vector<double> one{1.0};  // 0x3F800000
    CHECK(base64_floats(one) == "AACAPw==");
}

TEST_CASE("hexadecimal digits become the bytes they stand for") {
    CHECK(base64_of_hex("666f6f") == "Zm9v");
    CHECK_THROWS_AS((void)base64_of_hex("6"), std::invalid_argument);
    CHECK_THROWS_AS((void)base64_of_hex("6g"), std::invalid_argument);
}
