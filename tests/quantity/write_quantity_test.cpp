// SPDX-License-Identifier: MIT
#include "libdamper/quantity/write_quantity.hpp"

#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/unit_table.hpp"

#include <cmath>
#include <doctest/doctest.h>
#include <random>
#include <set>
#include <string>
#include <variant>

using namespace damper;

namespace {

template <class Q>
Q read_as(const char* text) {
    return Q::from_si(std::get<double>(read_quantity(text, Q::dimension)));
}

}  // namespace

TEST_CASE("quantities are written in the user's habit") {
    CHECK(write_quantity(read_as<Stiffness>("18 N m/deg")) == "18 N m/deg");
    CHECK(write_quantity(read_as<AngularSpeed>("800 rpm")) == "800 rpm");
    CHECK(write_quantity(read_as<Temperature>("80 degC")) == "80 degC");
    CHECK(write_quantity(Length::from_si(0.00012)) == "0.12 mm");
    CHECK(write_quantity(read_as<Angle>("6 deg")) == "6 deg");
    CHECK(write_quantity(Inertia::from_si(0.14)) == "0.14 kg m2");
    CHECK(write_quantity(Torque::from_si(-12.5)) == "-12.5 N m");
    CHECK(write_quantity(Ratio::from_si(0.05)) == "0.05");
    CHECK(write_quantity(Ratio::from_si(1.0 / 3.0)) == "0.333333");
    CHECK(write_quantity(Torque::from_si(100.0 / 3.0), 3) == "33.3 N m");
    CHECK(write_quantity(Time::from_si(50e-6)) == "50 us");
    CHECK(write_quantity(Time::from_si(0.05)) == "0.05 s");
    CHECK(write_quantity(Time::from_si(0.0)) == "0 s");
    CHECK(write_quantity(Damping::from_si(0.5)) == "0.5 N m s/rad");
    CHECK(write_quantity(KinematicViscosity::from_si(68e-6)) == "68 mm2/s");
}

TEST_CASE("a dimension without a name is written in base units that read back") {
    const Dimension odd{2, 1, -1, 0, 0};
    CHECK(write_quantity(3.0, odd) == "3 kg2.m.s-1");
    CHECK(std::get<double>(read_quantity("3 kg2.m.s-1", odd)) == 3.0);
    CHECK(spoken(odd) == "something in kg2.m.s-1");
}

TEST_CASE("the exact text gives back the very same double, whatever the dimension") {
    std::mt19937_64 random(20240229);
    std::uniform_real_distribution<double> mantissa(-10.0, 10.0);
    std::uniform_int_distribution<int> exponent(-9, 9);
    for (const DimensionName& name : dimension_names()) {
        CAPTURE(std::string(name.noun));
        for (int i = 0; i < 500; ++i) {
            const double si = mantissa(random) * std::pow(10.0, exponent(random));
            const std::string text = write_exact(si, name.dimension);
            CAPTURE(text);
            const auto back = read_quantity(text, name.dimension);
            REQUIRE(std::holds_alternative<double>(back));
            REQUIRE(std::get<double>(back) == si);
        }
    }
}

TEST_CASE("the exact text mostly keeps to the unit of the user") {
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> speeds(50.0, 500.0);  // rad/s
    int in_rpm = 0;
    for (int i = 0; i < 1000; ++i) {
        in_rpm += write_exact(speeds(random), AngularSpeed::dimension).ends_with(" rpm") ? 1 : 0;
    }
    CHECK(in_rpm >= 800);
}

TEST_CASE("the exact text of a value that was typed is what was typed") {
    CHECK(write_exact(read_as<Stiffness>("18 N m/deg").si(), Stiffness::dimension) == "18 N m/deg");
    CHECK(write_exact(read_as<AngularSpeed>("820 rpm").si(), AngularSpeed::dimension) == "820 rpm");
    CHECK(write_exact(read_as<Temperature>("90 degC").si(), Temperature::dimension) == "90 degC");
    CHECK(write_exact(0.123456789, Ratio::dimension) == "0.123456789");
}

TEST_CASE("every spelling of a unit is unique and reads as itself") {
    std::set<std::string> seen;
    for (const Unit& unit : unit_table()) {
        CAPTURE(std::string(unit.spelling));
        CHECK(seen.insert(std::string(unit.spelling)).second);
        CHECK_FALSE(unit.origin.empty());
        const auto read = read_unit(unit.spelling);
        REQUIRE(std::holds_alternative<ReadUnit>(read));
        CHECK(std::get<ReadUnit>(read).dimension == unit.dimension);
        CHECK(std::get<ReadUnit>(read).numerator == unit.factor);
    }
    CHECK(seen.size() > 60);
}

TEST_CASE("every named dimension has a preferred unit, an SI unit and an example that fit it") {
    std::set<std::string> nouns;
    for (const DimensionName& name : dimension_names()) {
        CAPTURE(std::string(name.noun));
        CHECK(nouns.insert(std::string(name.noun)).second);
        CHECK(name_of(name.dimension) == &name);
        CHECK(std::get<ReadUnit>(read_unit(name.preferred)).dimension == name.dimension);
        const auto si = std::get<ReadUnit>(read_unit(name.si));
        CHECK(si.dimension == name.dimension);
        CHECK(si.numerator / si.denominator == 1.0);
        CHECK(si.offset == 0.0);
        CHECK(std::holds_alternative<double>(read_quantity(name.example, name.dimension)));
        CHECK(si_units(name.dimension) == name.si);
    }
}
