// SPDX-License-Identifier: MIT
#pragma once

#include <doctest/doctest.h>

namespace damper::test {

/// Within `share` of `value`, relative to the larger of the two. A bare doctest::Approx adds 1 to
/// that size, which makes it blind to small numbers.
[[nodiscard]] inline doctest::Approx near(double value, double share) {
    return doctest::Approx(value).epsilon(share).scale(0.0);
}

}  // namespace damper::test
