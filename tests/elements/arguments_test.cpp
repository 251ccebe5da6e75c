// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"
#include "libdamper/elements/viscosity.hpp"

#include <doctest/doctest.h>
#include <limits>

using namespace damper;

namespace {

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("a spring refuses what is not a spring") {
    const SpringSegment soft{"soft", 10.0}, hard{"hard", 100.0};
    CHECK_THROWS_AS(piecewise_spring({}, {}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard}, {}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft}, {0.1}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard, soft}, {0.1, 0.1}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard, soft}, {0.2, 0.1}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard, soft}, {0.1, nan_value}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard, soft}, {0.1, infinite}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard}, {nan_value}), ModelError);
    CHECK_THROWS_AS(piecewise_spring({soft, hard}, {-infinite}), ModelError);
    for (const double bad : {-1.0, nan_value, infinite}) {
        CHECK_THROWS_AS(piecewise_spring({soft, {"bad", bad}}, {0.1}), ModelError);
        CHECK_THROWS_AS(linear_spring(bad, 0.0), ModelError);
        CHECK_THROWS_AS(linear_spring(1.0, bad), ModelError);
    }
    // A flat piece under torque would be a constant torque booked as heat.
    CHECK_THROWS_AS(piecewise_spring({soft, {"flat", 0.0}}, {0.1}), ModelError);
    CHECK_NOTHROW(piecewise_spring({hard, {"gap", 0.0}, hard}, {-0.1, 0.1}));
}

TEST_CASE("a slider refuses values outside its range") {
    CHECK_NOTHROW(slider({.limit = 1.0, .grip = 1.0}));
    for (const double bad : {0.0, -1.0, nan_value, infinite}) {
        CHECK_THROWS_AS(slider({.limit = bad, .grip = 1.0}), ModelError);
        CHECK_THROWS_AS(slider({.limit = 1.0, .grip = bad}), ModelError);
    }
    for (const double bad : {-1.0, nan_value, infinite}) {
        CHECK_THROWS_AS(slider({.limit = 1.0, .grip = 1.0, .play = bad}), ModelError);
        CHECK_THROWS_AS(slider({.limit = 1.0, .grip = 1.0, .viscous = bad}), ModelError);
    }
}

TEST_CASE("a lash refuses values outside its range") {
    CHECK_NOTHROW(lash({.gap = 0.0, .stiffness = 1.0}));
    for (const double bad : {-1.0, nan_value, infinite}) {
        CHECK_THROWS_AS(lash({.gap = bad, .stiffness = 1.0}), ModelError);
        CHECK_THROWS_AS(lash({.gap = 0.1, .stiffness = bad}), ModelError);
        CHECK_THROWS_AS(lash({.gap = 0.1, .stiffness = 1.0, .damping = bad}), ModelError);
    }
    CHECK_THROWS_AS(lash({.gap = 0.1, .stiffness = 0.0}), ModelError);
}

TEST_CASE("a viscosity line refuses oils that are not") {
    CHECK_NOTHROW(ViscosityLine(313.15, 75e-6, 373.15, 10e-6));
    CHECK_THROWS_AS(ViscosityLine(373.15, 75e-6, 313.15, 10e-6), ModelError);
    CHECK_THROWS_AS(ViscosityLine(313.15, 75e-6, 313.15, 10e-6), ModelError);
    CHECK_THROWS_AS(ViscosityLine(313.15, 10e-6, 373.15, 75e-6), ModelError);
    CHECK_THROWS_AS(ViscosityLine(313.15, 10e-6, 373.15, 10e-6), ModelError);
    CHECK_THROWS_AS(ViscosityLine(313.15, 10e-6, 373.15, 1e-6), ModelError);
    CHECK_THROWS_AS(ViscosityLine(0.0, 75e-6, 373.15, 10e-6), ModelError);
    for (const double bad : {nan_value, infinite}) {
        CHECK_THROWS_AS(ViscosityLine(bad, 75e-6, 373.15, 10e-6), ModelError);
        CHECK_THROWS_AS(ViscosityLine(313.15, bad, 373.15, 10e-6), ModelError);
        CHECK_THROWS_AS(ViscosityLine(313.15, 75e-6, bad, 10e-6), ModelError);
        CHECK_THROWS_AS(ViscosityLine(313.15, 75e-6, 373.15, bad), ModelError);
    }
}
