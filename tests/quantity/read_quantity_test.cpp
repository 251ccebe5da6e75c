// SPDX-License-Identifier: MIT
#include "libdamper/quantity/read_quantity.hpp"

#include "libdamper/quantity/quantity.hpp"

#include <doctest/doctest.h>
#include <numbers>
#include <stdexcept>
#include <string>
#include <variant>
#include <vector>

using namespace damper;

namespace {

constexpr double pi = std::numbers::pi;

struct Good {
    std::string text;
    Dimension due;
    double si;
};

struct Bad {
    std::string text;
    Dimension due;
    int column;
    std::string found;
    std::string expected;
    std::string mend;
};

void check_good(const std::vector<Good>& cases) {
    for (const Good& good : cases) {
        CAPTURE(good.text);
        const auto result = read_quantity(good.text, good.due);
        const double* value = std::get_if<double>(&result);
        if (value == nullptr) {
            FAIL_CHECK(std::get<QuantityFault>(result).found);
            continue;
        }
        // One rounding per factor of the unit: a few units in the last place.
        CHECK(*value == doctest::Approx(good.si).epsilon(1e-15 * 4));
    }
}

void check_bad(const std::vector<Bad>& cases) {
    for (const Bad& bad : cases) {
        CAPTURE(bad.text);
        const auto result = read_quantity(bad.text, bad.due);
        const QuantityFault* fault = std::get_if<QuantityFault>(&result);
        REQUIRE(fault != nullptr);
        CHECK(fault->column == bad.column);
        CAPTURE(fault->found);
        CAPTURE(fault->expected);
        CAPTURE(fault->mend);
        CHECK(fault->found.find(bad.found) != std::string::npos);
        CHECK(fault->expected.find(bad.expected) != std::string::npos);
        CHECK(fault->mend.find(bad.mend) != std::string::npos);
    }
}

constexpr Dimension torque = Torque::dimension;
constexpr Dimension stiffness = Stiffness::dimension;
constexpr Dimension inertia = Inertia::dimension;
constexpr Dimension speed = AngularSpeed::dimension;

}  // namespace

TEST_CASE("the usual quantities of a driveline read as SI") {
    check_good({
        {"18 N m/deg", stiffness, 18.0 * 180.0 / pi},
        {"1000 N m/rad", stiffness, 1000.0},
        {"0.14 kg m2", inertia, 0.14},
        {"800 rpm", speed, 800.0 * 2.0 * pi / 60.0},
        {"83.8 rad/s", speed, 83.8},
        {"0.5 N m s/rad", Damping::dimension, 0.5},
        {"90 degC", Temperature::dimension, 363.15},
        {"-30 degC", Temperature::dimension, 243.15},
        {"350 K", Temperature::dimension, 350.0},
        {"350 kPa", Pressure::dimension, 350e3},
        {"1.2 bar", Pressure::dimension, 1.2e5},
        {"0.12 mm", Length::dimension, 0.12e-3},
        {"68 mm2/s", KinematicViscosity::dimension, 68e-6},
        {"68 cSt", KinematicViscosity::dimension, 68e-6},
        {"5 %", Ratio::dimension, 0.05},
        {"0.95", Ratio::dimension, 0.95},
        {"20 m/s2", Acceleration::dimension, 20.0},
        {"6 deg", Angle::dimension, pi / 30.0},
        {"1.5 rev", Angle::dimension, 3.0 * pi},
        {"150 N m", torque, 150.0},
        {"5 mJ", Energy::dimension, 5e-3},
        {"10 kW", Power::dimension, 1e4},
        {"0.02 N m s", Impulse::dimension, 0.02},
        {"50 us", Time::dimension, 50e-6},
        {"50 µs", Time::dimension, 50e-6},
        {"25 Hz", Rate::dimension, 25.0},
        {"1500 1/min", Rate::dimension, 25.0},
        {"36 km/h", Speed::dimension, 10.0},
        {"2.2 m2", Area::dimension, 2.2},
        {"1.2 t", Mass::dimension, 1200.0},
        {"1.2 kg/m3", Density::dimension, 1.2},
        {"12 m/s3", Jerk::dimension, 12.0},
        {"400 rad/s2", AngularAcceleration::dimension, 400.0},
    });
}

TEST_CASE("yard units read with their exact factors") {
    check_good({
        {"1 lbf ft", torque, 0.45359237 * 9.80665 * 0.3048},
        {"10 in", Length::dimension, 0.254},
        {"1 psi", Pressure::dimension, 0.45359237 * 9.80665 / (0.0254 * 0.0254)},
        {"212 degF", Temperature::dimension, 373.15},
        {"2 lb", Mass::dimension, 0.90718474},
    });
}

TEST_CASE("the joints between units may be written in every usual way") {
    const double si = 18.0 * 180.0 / pi;
    check_good({
        {"18 N.m/deg", stiffness, si},
        {"18 Nm/deg", stiffness, si},
        {"18 N*m/deg", stiffness, si},
        {"18 N·m/deg", stiffness, si},
        {"18 N * m / deg", stiffness, si},
        {"18 N m/°", stiffness, si},
        {"18 N m deg-1", stiffness, si},
        {"18 N.m.deg-1", stiffness, si},
        {"18 N  m/degree", stiffness, si},
        {"18N m/deg", stiffness, si},
        {"0.14 kg m²", inertia, 0.14},
        {"0.14 kg m^2", inertia, 0.14},
        {"0.14 kgm2", inertia, 0.14},
        {"0.14 kg*m^2", inertia, 0.14},
        {"80°C", Temperature::dimension, 353.15},
        {"4 N m s²/rad", Dimension{1, 2, 0, 0, -1}, 4.0},
    });
}

TEST_CASE("the number may have a sign and an exponent") {
    check_good({
        {"+5 N m", torque, 5.0},
        {"-5 N m", torque, -5.0},
        {"1e3 N m", torque, 1000.0},
        {"1.5E-3 N m", torque, 0.0015},
        {".5 N m", torque, 0.5},
        {"5. N m", torque, 5.0},
        {"  5 N m ", torque, 5.0},
        {"0 N m", torque, 0.0},
    });
}

TEST_CASE("a wrong dimension is called by its name, with an example of the right one") {
    check_bad({
        {"18 N m", stiffness, 4, "\"18 N m\", which is a torque",
         "a torque per angle, for example \"18 N m/deg\"", "per which angle"},
        {"18 N m/deg", torque, 4, "a torque per angle", "a torque, for example \"150 N m\"", ""},
        {"5 J", torque, 3, "an energy", "a torque", "N m"},
        {"5 N m", Energy::dimension, 3, "a torque", "an energy", "written in J"},
        {"0.5 N m s", Damping::dimension, 5, "a torque impulse", "a torque per angular speed",
         "N m s/rad"},
        {"0.5 kg m2/rad", inertia, 5, "kg.m2.rad-1", "a moment of inertia", ""},
        {"3 kg", inertia, 3, "a mass", "0.14 kg m2", ""},
        {"80 degC", torque, 4, "a temperature", "a torque", ""},
        {"2 g", Acceleration::dimension, 3, "a mass", "an acceleration", "9.80665 m/s2"},
        {"5 deg", Ratio::dimension, 3, "an angle", "a plain number", ""},
    });
}

TEST_CASE("turns per minute and events per second are kept apart") {
    check_bad({
        {"800 1/min", speed, 5, "a number per time", "an angular speed, for example \"800 rpm\"",
         "rpm"},
        {"800/min", speed, 4, "a number per time", "800 rpm", "rpm"},
        {"25 Hz", speed, 4, "a number per time", "800 rpm", "do not say per turn"},
        {"800 rpm", Rate::dimension, 5, "an angular speed", "25 Hz", "Hz"},
    });
}

TEST_CASE("a number without a unit is refused where a unit is due, not where it is none") {
    check_bad({
        {"18", stiffness, 3, "\"18\" without a unit", "18 N m/deg", "unit behind the number"},
        {"0", torque, 2, "without a unit", "a torque", ""},
        {"1e3 ", torque, 5, "without a unit", "a torque", ""},
    });
    CHECK(std::get<double>(read_quantity("0", Ratio::dimension)) == 0.0);
}

TEST_CASE("what is no finite decimal number is refused with its column") {
    check_bad({
        {"nan N m", torque, 1, "not a finite number", "a torque", ""},
        {"-inf N m", torque, 1, "not a finite number", "a torque", ""},
        {" infinity N m", torque, 2, "not a finite number", "a torque", ""},
        {"1e999 N m", torque, 1, "beyond what can be computed with", "a torque", ""},
        {"1e-999 N m", torque, 1, "beyond what can be computed with", "a torque", ""},
        {"1e308 kN m", torque, 1, "beyond what can be computed with", "a torque", ""},
        {"1,5 N m", torque, 2, "a comma in the number", "a torque", "1.5, not 1,5"},
        {"1_000 N m", torque, 2, "a separator between digits", "a torque", ""},
        {"0x10 N m", torque, 2, "unknown unit \"x10\"", "a torque", ""},
        {"N m", torque, 1, "does not begin with a number", "a torque", ""},
        {"", torque, 1, "an empty text", "a torque", ""},
        {"   ", torque, 1, "an empty text", "a torque", ""},
        {"- 5 N m", torque, 1, "does not begin with a number", "a torque", ""},
        {"five N m", torque, 1, "does not begin with a number", "a torque", ""},
    });
}

TEST_CASE("an unknown unit is quoted, with the nearest known one") {
    check_bad({
        {"18 NM/deg", stiffness, 4, "unknown unit \"NM\"", "18 N m/deg", "\"Nm\""},
        {"800 RPM", speed, 5, "unknown unit \"RPM\"", "800 rpm", "\"rpm\""},
        {"800 rmp", speed, 5, "unknown unit \"rmp\"", "800 rpm", "\"rpm\""},
        {"350 KPa", Pressure::dimension, 5, "unknown unit \"KPa\"", "a pressure", "\"kPa\""},
        {"80 degc", Temperature::dimension, 4, "unknown unit \"degc\"", "80 degC", "\"degC\""},
        {"18 N m/dge", stiffness, 8, "unknown unit \"dge\"", "18 N m/deg", "\"deg\""},
        {"5 furlongs", Length::dimension, 3, "unknown unit \"furlongs\"", "a length", ""},
        {"0.14 kg mm^22x", inertia, 9, "unknown unit", "kg m2", ""},
        {"5 m99", Length::dimension, 3, "unknown unit \"m99\"", "a length", ""},
    });
}

TEST_CASE("a unit that is put together wrongly is refused where it goes wrong") {
    check_bad({
        {"1 N m/deg/s", stiffness, 10, "a second '/'", "a torque per angle", "one '/'"},
        {"1 N m/rad s", Damping::dimension, 11, "more than one unit behind the '/'", "N m s/rad",
         "before it"},
        {"1 N m/", torque, 7, "nothing behind the '/'", "a torque", ""},
        {"1 N..m", torque, 5, "two signs", "a torque", ""},
        {"1 N m.", torque, 6, "nothing behind the sign", "a torque", ""},
        {"1 N m * / deg", stiffness, 7, "nothing behind the sign", "a torque per angle", ""},
        {"1 W/degC", Power::dimension, 9, "a temperature scale inside a compound unit", "a power",
         "K"},
        {"1 degC2", Temperature::dimension, 8, "a temperature scale inside", "a temperature", "K"},
    });
}

TEST_CASE("columns count characters, not bytes") {
    // The two-byte sign before the fault counts once.
    check_bad({{"1 N·q", torque, 5, "unknown unit \"q\"", "a torque", ""}});
}

TEST_CASE("hostile text is quoted without control characters and not at length") {
    const auto result = read_quantity("\x1b[31m" + std::string(5000, 'x'), torque);
    const auto& fault = std::get<QuantityFault>(result);
    CHECK(fault.found.find('\x1b') == std::string::npos);
    CHECK(fault.found.size() < 200);
    // Many factors neither overflow nor take long.
    std::string many = "1";
    for (int i = 0; i < 5000; ++i) many += " m6";
    CHECK(std::holds_alternative<QuantityFault>(read_quantity(many, torque)));
}

TEST_CASE("a quantity of any dimension tells which one it has") {
    const auto result = read_any_quantity("60 rpm");
    CHECK(std::get<AnyQuantity>(result).dimension == speed);
    CHECK(std::get<AnyQuantity>(result).si == doctest::Approx(2.0 * pi).epsilon(1e-15 * 4));
    CHECK(std::get<AnyQuantity>(read_any_quantity("0.3")).dimension == Dimension{});
    CHECK(std::holds_alternative<QuantityFault>(read_any_quantity("0.3 foo")));
}

TEST_CASE("a bound is turned into the units in which a result is kept") {
    CHECK(std::get<double>(read_in_units("60 rpm", "rad/s")) == doctest::Approx(2.0 * pi));
    CHECK(std::get<double>(read_in_units("60 rpm", "rpm")) == doctest::Approx(60.0));
    CHECK(std::get<double>(read_in_units("5 mJ", "J")) == doctest::Approx(0.005));
    CHECK(std::get<double>(read_in_units("5 %", "1")) == doctest::Approx(0.05));
    CHECK(std::get<double>(read_in_units("2 N m s/rad", "N.m.s.rad-1")) == doctest::Approx(2.0));
    CHECK(std::get<double>(read_in_units("80 degC", "degC")) == doctest::Approx(80.0));
    CHECK(std::holds_alternative<QuantityFault>(read_in_units("60 rpm", "rad/s2")));
    CHECK_THROWS_AS((void)read_in_units("60 rpm", "furlongs"), std::invalid_argument);
}
