// SPDX-License-Identifier: MIT
#include "libdamper/base/crc32.hpp"

#include <doctest/doctest.h>
#include <string>

TEST_CASE("the check sum is that of Ethernet") {
    // The check value of CRC-32/ISO-HDLC: R. N. Williams, "A painless guide to CRC error detection
    // algorithms" (1993), section 16, "123456789" → CBF43926.
    const std::string text = "123456789";
    CHECK(damper::crc32(std::as_bytes(std::span(text))) == 0xCBF43926U);
    CHECK(damper::crc32({}) == 0U);
}
