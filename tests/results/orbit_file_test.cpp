// SPDX-License-Identifier: MIT
#include "libdamper/results/orbit_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/seal.hpp"

#include "tests/support/sample_orbit.hpp"

#include <doctest/doctest.h>
#include <string>

using namespace damper;

TEST_CASE("equal records of motions give equal bytes, and these are sealed") {
    const std::vector<std::byte> bytes = orbit_bytes(sample::orbit());
    CHECK(bytes == orbit_bytes(sample::orbit()));
    CHECK(!under_seal(bytes).empty());
    OrbitRecord other = sample::orbit();
    other.points[1].rattle_ratio[0] = 1.25;
    CHECK(bytes != orbit_bytes(other));
}

TEST_CASE("a record of motions whose lists do not fit together is refused") {
    OrbitRecord record = sample::orbit();
    record.points[0].amplitude.pop_back();
    CHECK_THROWS_AS((void)orbit_bytes(record), ModelError);
    record = sample::orbit();
    record.points[2].amplitude[1].pop_back();
    CHECK_THROWS_AS((void)orbit_bytes(record), ModelError);
    record = sample::orbit();
    record.points[1].rattle_ratio.clear();
    CHECK_THROWS_AS((void)orbit_bytes(record), ModelError);
}

TEST_CASE("a record without a single motion, loose gear or exact run can be written") {
    OrbitRecord record = sample::orbit();
    record.points.clear();
    record.gears.clear();
    record.checks.clear();
    record.folds.clear();
    CHECK(!orbit_bytes(record).empty());
}
