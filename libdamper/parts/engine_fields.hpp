// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/engine.hpp"
#include "libdamper/parts/field.hpp"

namespace damper {

// Ranges are wide: any road vehicle lies within. They catch a wrong unit or a slipped point.

template <>
struct PartTable<TorqueHarmonic> {
    static constexpr std::string_view noun = "a torque harmonic";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = TorqueHarmonic;
        return std::tuple{
            field("order", &P::order, above("0", "50"), required, "Multiple of crank speed"),
            field("amplitude", &P::amplitude, within("0 N m", "100000 N m"), required,
                  "Half of peak to peak"),
            field("phase", &P::phase, within("-360 deg", "360 deg"), otherwise("0 deg"),
                  "Phase of the sine, in the harmonic's own angle"),
        };
    }
};

template <>
struct PartTable<TorquePoint> {
    static constexpr std::string_view noun = "a point of a torque curve";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = TorquePoint;
        return std::tuple{
            field("speed", &P::speed, within("0 rpm", "10000 rpm"), required, "Engine speed"),
            field("torque", &P::torque, within("0 N m", "10000 N m"), required,
                  "Torque there, as a positive number"),
        };
    }
};

template <>
struct PartTable<Combustion> {
    static constexpr std::string_view noun = "a combustion";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = Combustion;
        return std::tuple{
            field("intake_pressure", &P::intake_pressure, above("0 kPa", "1000 kPa"), required,
                  "Cylinder pressure at the start of compression at idle, absolute"),
            field("full_pressure", &P::full_pressure, above("0 kPa", "1000 kPa"), required,
                  "The same at full load"),
            field("compression_exponent", &P::compression_exponent, within("1", "1.67"), required,
                  "Polytropic exponent of compression"),
            field("expansion_exponent", &P::expansion_exponent, within("1", "1.67"), required,
                  "Polytropic exponent of expansion"),
            field("start", &P::start, within("-90 deg", "90 deg"), required,
                  "Start of heat release after top dead centre"),
            field("duration", &P::duration, within("5 deg", "150 deg"), required,
                  "Crank angle that the heat release takes"),
            field("shape", &P::shape, within("0", "10"), required, "Exponent of the burn law"),
            field("completeness", &P::completeness, within("0.5", "20"), otherwise("6.9"),
                  "Factor of the burn law; 6.9 burns 99.9 %"),
        };
    }
};

template <>
struct PartTable<Engine> {
    static constexpr std::string_view noun = "an engine";
    static constexpr std::string_view folder = "engines";
    static auto fields() {
        using P = Engine;
        return std::tuple{
            field("title", &P::title, any(), otherwise("engine without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("torque", &P::torque,
                  one_of({"cylinder pressure", "pressure trace", "harmonics"}), required,
                  "How the torque over crank angle is made"),
            field("cylinders", &P::cylinders, within("1", "16"), required, "Number of cylinders"),
            field("firing_order", &P::firing_order, within("1", "16"), required,
                  "Cylinder numbers in order of firing"),
            field("firing_intervals", &P::firing_intervals, above("0 deg", "720 deg"),
                  may_be_absent, "Crank angle from each firing to the next; absent: even"),
            field("cylinder_gains", &P::cylinder_gains, within("0", "2"), may_be_absent,
                  "Share of its due heat per cylinder; absent: all 1"),
            field("bore", &P::bore, within("20 mm", "300 mm"), may_be_absent, "Cylinder bore"),
            field("stroke", &P::stroke, within("20 mm", "400 mm"), may_be_absent, "Piston stroke"),
            field("rod_length", &P::rod_length, within("30 mm", "800 mm"), may_be_absent,
                  "Connecting rod between centres"),
            field("compression_ratio", &P::compression_ratio, above("1", "40"), may_be_absent,
                  "Largest over smallest cylinder volume"),
            field("reciprocating_mass", &P::reciprocating_mass, within("0.05 kg", "50 kg"),
                  may_be_absent, "Piston, pin and rod end of one cylinder"),
            field("inertia", &P::inertia, within("0.005 kg m2", "50 kg m2"), required,
                  "Crankshaft, flywheel and clutch cover"),
            field("flywheel_inertia", &P::flywheel_inertia, within("0 kg m2", "50 kg m2"),
                  otherwise("0 kg m2"),
                  "What of it is solid flywheel and cover, and goes with a two-mass flywheel"),
            field("idle_speed", &P::idle_speed, within("200 rpm", "3000 rpm"), required,
                  "Mean speed at idle"),
            field("top_speed", &P::top_speed, within("500 rpm", "12000 rpm"), may_be_absent,
                  "Highest speed in use; absent: what is usual for the class of vehicle"),
            field("peak_torque", &P::peak_torque, within("10 N m", "10000 N m"), required,
                  "Largest torque at full load"),
            field("friction_torque", &P::friction_torque, within("0 N m", "2000 N m"), required,
                  "Motored torque at idle"),
            field("overrun_torque", &P::overrun_torque, within("0 N m", "5000 N m"), required,
                  "Motored torque, foot off, as a positive number"),
            field("full_load", &P::full_load, entries(2, 100), may_be_absent,
                  "Full-load torque over speed; absent: the peak torque at any speed"),
            field("overrun", &P::overrun, entries(2, 100), may_be_absent,
                  "Motored torque over speed, foot off; absent: the same at any speed"),
            field("idle_governor", &P::idle_governor, within("0 N m s/rad", "500 N m s/rad"),
                  otherwise("2 N m s/rad"),
                  "Torque that the idle governor adds per speed that is missing"),
            field("starter_torque", &P::starter_torque, within("0 N m", "20000 N m"),
                  otherwise("0 N m"), "Starter's torque at the crankshaft at standstill"),
            field("starter_speed", &P::starter_speed, within("0 rpm", "1000 rpm"),
                  otherwise("0 rpm"), "Crank speed at which the starter's torque is used up"),
            field("combustion", &P::combustion, any(), may_be_absent,
                  "Heat release and compression of one cylinder"),
            field("harmonics", &P::harmonics, entries(0, 100), may_be_absent,
                  "Torque as a sum of harmonics"),
            field("pressure_trace", &P::pressure_trace, any(), may_be_absent,
                  "Table of crank angle and cylinder pressure: a file beside this one, or a "
                  "recording of the models folder"),
        };
    }
};

}  // namespace damper
