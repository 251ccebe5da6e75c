// SPDX-License-Identifier: MIT
#include "libdamper/clutch/release.hpp"

#include "libdamper/base/error.hpp"

#include "tests/clutch/some_clutch.hpp"

#include <cmath>
#include <doctest/doctest.h>

using namespace damper;

TEST_CASE("the work of the bearing is what spring, fingers and cushion have taken") {
    const ClampedCover cover = some_cover();
    const double end = 8e-3;
    const int points = 20001;
    const auto curve = release_curve(cover, end, points);
    double work = 0.0;
    for (std::size_t i = 1; i < curve.size(); ++i) {
        work += 0.5 * (curve[i].bearing_load + curve[i - 1].bearing_load) *
                (curve[i].travel - curve[i - 1].travel);
    }
    const ReleasePoint& last = curve.back();
    const double clamped = cover.cushion.deflection(spring_load(cover.spring, cover.deflection));
    const double spring = spring_energy(cover.spring, cover.deflection + last.lift) -
                          spring_energy(cover.spring, cover.deflection);
    const double fingers = 0.5 * cover.give * last.bearing_load * last.bearing_load;
    const double cushion = cover.cushion.energy(clamped);  // gives back all of it
    CHECK(last.lift > clamped);
    // Trapezoids over 20000 steps: error far below 1e-6 of the work.
    CHECK(work == doctest::Approx(spring + fingers - cushion).epsilon(1e-6));
}

TEST_CASE("the farther the bearing, the higher the plate and the smaller its load") {
    for (const double give : {0.0, 5e-7}) {
        ClampedCover cover = some_cover();
        cover.give = give;
        const auto curve = release_curve(cover, 9e-3, 200);
        CHECK(curve.front().lift == 0.0);
        CHECK(curve.front().bearing_load == doctest::Approx(0.0));
        CHECK(curve.front().plate_load ==
              doctest::Approx(spring_load(cover.spring, cover.deflection)));
        for (std::size_t i = 1; i < curve.size(); ++i) {
            CHECK(curve[i].lift > curve[i - 1].lift);
            CHECK(curve[i].plate_load <= curve[i - 1].plate_load);
            CHECK(curve[i].travel == doctest::Approx(9e-3 * static_cast<double>(i) / 199.0));
        }
        CHECK(curve.back().plate_load == 0.0);
    }
}

TEST_CASE("moments about the pivot balance everywhere") {
    const ClampedCover cover = some_cover();
    for (const ReleasePoint& p : release_curve(cover, 9e-3, 50)) {
        const double spring = spring_load(cover.spring, cover.deflection + p.lift);
        CHECK(cover.lever * p.bearing_load + p.plate_load == doctest::Approx(spring));
        CHECK(p.travel ==
              doctest::Approx(cover.lever * p.lift + cover.give * p.bearing_load).epsilon(1e-9));
    }
}

TEST_CASE("on the same circles a pull type has a lever ratio larger by one") {
    // |R − f| / (R − r) against |r − f| / (R − r), pivot outside against pivot inside.
    const double outer = 0.1105, inner = 0.0895, finger = 0.025;
    const double push = lever_ratio(finger, inner, outer);
    const double pull = lever_ratio(finger, outer, inner);
    CHECK(pull == doctest::Approx(push + 1.0));
    // Same spring, same lift: the loads go inversely to the levers.
    ClampedCover pushed = some_cover();
    ClampedCover pulled = some_cover();
    pulled.lever = pull;
    const double lift = 1.2e-3;
    CHECK(at_lift(pulled, lift).bearing_load * pull ==
          doctest::Approx(at_lift(pushed, lift).bearing_load * push));
}

TEST_CASE("on a rigid disc the plate lets go at once, after cover and fingers have bent") {
    ClampedCover cover = some_cover();
    cover.cushion = Cushion();
    const double clamp = spring_load(cover.spring, cover.deflection);
    const double bends = cover.give * clamp / cover.lever;
    const ReleasePoint before = at_travel(cover, 0.5 * bends);
    CHECK(before.lift == 0.0);
    CHECK(before.plate_load == doctest::Approx(0.5 * clamp));
    const ReleasePoint behind = at_travel(cover, 1.5 * bends);
    CHECK(behind.lift > 0.0);
    CHECK(behind.plate_load == 0.0);
    CHECK(plate_load_under(cover, 0.25 * clamp / cover.lever) == doctest::Approx(0.75 * clamp));
}

TEST_CASE("a load that rests on the bearing takes from the clamp load what the curve says") {
    const ClampedCover cover = some_cover();
    const double clamp = spring_load(cover.spring, cover.deflection);
    CHECK(plate_load_under(cover, 0.0) == doctest::Approx(clamp));
    for (const double lift : {0.05e-3, 0.2e-3, 0.4e-3}) {
        const ReleasePoint point = at_lift(cover, lift);
        CHECK(plate_load_under(cover, point.bearing_load) ==
              doctest::Approx(point.plate_load).epsilon(1e-9));
    }
    CHECK(plate_load_under(cover, 1e5) == 0.0);
    // Less than lever times load, since the relaxing cushion lets the spring press a little less.
    CHECK(plate_load_under(cover, 200.0) < clamp - cover.lever * 200.0);
}

TEST_CASE("the lift lost to bending at the stated travel is the one that was stated") {
    ClampedCover cover = some_cover();
    cover.give = 0.0;
    cover.give = give_of(cover, 7e-3, 0.25e-3);
    CHECK(at_travel(cover, 7e-3).lift == doctest::Approx(7e-3 / cover.lever - 0.25e-3));
    CHECK_THROWS_AS((void)give_of(cover, 7e-3, 3e-3), ModelError);
}

TEST_CASE("two discs in a row give way by twice as much under one load") {
    const Cushion one({0.3e-3, 0.6e-3}, {750.0, 3200.0}, 1);
    const Cushion two({0.3e-3, 0.6e-3}, {750.0, 3200.0}, 2);
    for (const double load : {100.0, 750.0, 2000.0, 3200.0, 9000.0}) {
        CHECK(two.deflection(load) == doctest::Approx(2.0 * one.deflection(load)));
        CHECK(two.energy(two.deflection(load)) ==
              doctest::Approx(2.0 * one.energy(one.deflection(load))));
    }
    CHECK(one.load(-1e-3) == 0.0);
    CHECK(one.load(1e-3) == 3200.0);
    CHECK_THROWS_AS((Cushion({0.3e-3, 0.2e-3}, {750.0, 3200.0}, 1)), ModelError);
    CHECK_THROWS_AS((Cushion({0.3e-3}, {750.0, 3200.0}, 1)), ModelError);
}
