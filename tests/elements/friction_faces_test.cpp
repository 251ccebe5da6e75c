// SPDX-License-Identifier: MIT
#include "libdamper/elements/friction_faces.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/clutch/capacity.hpp"

#include "tests/support/near.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <limits>

using namespace damper;
using namespace damper::test;

namespace {

FrictionFaces some_faces() {
    FrictionFaces faces;
    faces.lever = 4.0 * 0.1;
    faces.radius = 0.1;
    faces.friction = {{0.0, 2.0, 6.0}, {0.30, 0.26, 0.20}};
    faces.stiction = 1.2;
    faces.load = {{1.0, 3.0}, {0.0, 2000.0}};
    return faces;
}

}  // namespace

TEST_CASE("faces rub with the torque of z faces under the clamp load of the moment") {
    const FrictionFaces faces = some_faces();
    CHECK(limit(faces, 0.0, 0.0) == 0.0);
    // At 2 s half the load; 4 faces, 0.1 m.
    CHECK(limit(faces, 2.0, 0.0) == near(torque_capacity(4, 0.30, 1000.0, 0.1), 1e-15));
    CHECK(limit(faces, 9.0, 4.0) == near(torque_capacity(4, 0.23, 2000.0, 0.1), 1e-15));
    CHECK(limit(faces, 9.0, 60.0) == near(torque_capacity(4, 0.20, 2000.0, 0.1), 1e-15));
    CHECK(limit(faces, 9.0, 0.0, 0.5) == near(0.5 * limit(faces, 9.0, 0.0), 1e-15));
    CHECK(holds_up(faces, 9.0) == near(1.2 * limit(faces, 9.0, 0.0), 1e-15));
}

TEST_CASE("slip the other way is the mirror image, but for a backstop") {
    FrictionFaces faces = some_faces();
    for (const double rate : {0.0, 5.0, 30.0, 200.0}) {
        CHECK(slip_torque(faces, Rubbing::slipping_down, 2.0, -rate) ==
              -slip_torque(faces, Rubbing::slipping_up, 2.0, rate));
    }
    faces.backstop = 50.0;
    CHECK(slip_torque(faces, Rubbing::slipping_down, 2.0, -5.0) ==
          -slip_torque(faces, Rubbing::slipping_up, 2.0, 5.0) - 50.0);
    CHECK(holds_down(faces, 2.0) == holds_up(faces, 2.0) + 50.0);
}

TEST_CASE("the damping of slip is the slope of its torque") {
    const FrictionFaces faces = some_faces();
    constexpr double h = 1e-5;
    for (const double rate : {1.0, 15.0, 40.0, 100.0}) {
        const double slope = (slip_torque(faces, Rubbing::slipping_up, 2.5, rate + h) -
                              slip_torque(faces, Rubbing::slipping_up, 2.5, rate - h)) /
                             (2.0 * h);
        CHECK(slip_damping(faces, 2.5, rate) == doctest::Approx(slope).epsilon(1e-6));
    }
}

TEST_CASE("slip makes heat in either sense") {
    const FrictionFaces faces = some_faces();
    for (double t = 0.0; t < 4.0; t += 0.37) {
        for (double rate = 0.01; rate < 100.0; rate *= 3.0) {
            CHECK(slip_torque(faces, Rubbing::slipping_up, t, rate) * rate >= 0.0);
            CHECK(slip_torque(faces, Rubbing::slipping_down, t, -rate) * -rate >= 0.0);
        }
    }
}

TEST_CASE("faces that cannot be are refused") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [](auto change) {
        FrictionFaces faces = some_faces();
        change(faces);
        CHECK_THROWS_AS(check(faces), ModelError);
    };
    CHECK_NOTHROW(check(some_faces()));
    refused([](FrictionFaces& f) { f.lever = 0.0; });
    refused([](FrictionFaces& f) { f.radius = -1.0; });
    refused([](FrictionFaces& f) { f.stiction = 0.9; });
    refused([](FrictionFaces& f) { f.backstop = -1.0; });
    refused([nan](FrictionFaces& f) { f.stiction = nan; });
    refused([](FrictionFaces& f) { f.friction = {{}, {}}; });
    refused([](FrictionFaces& f) { f.friction.at[0] = 0.5; });
    refused([](FrictionFaces& f) { f.friction.value[1] = -0.1; });
    refused([nan](FrictionFaces& f) { f.load.value[0] = nan; });
    refused([](FrictionFaces& f) { f.load.at = {3.0, 1.0}; });
    refused([](FrictionFaces& f) { f.load.at = {3.0}; });
}
