// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/facing.hpp"
#include "libdamper/parts/field.hpp"

namespace damper {

template <>
struct PartTable<FadePoint> {
    static constexpr std::string_view noun = "a point of the friction over temperature";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = FadePoint;
        return std::tuple{
            field("temperature", &P::temperature, within("-60 degC", "800 degC"), required,
                  "Of the rubbing faces"),
            field("factor", &P::factor, above("0", "3"), required,
                  "What of the friction is there at this temperature; 1: all"),
        };
    }
};

template <>
struct PartTable<SlipFrictionPoint> {
    static constexpr std::string_view noun = "a point of the friction over slip speed";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = SlipFrictionPoint;
        return std::tuple{
            field("speed", &P::speed, above("0 m/s", "200 m/s"), required,
                  "Slip speed at the mean radius of the facings"),
            field("factor", &P::factor, above("0", "3"), required,
                  "What of the friction is there at this speed; 1: all"),
        };
    }
};

template <>
struct PartTable<CushionPoint> {
    static constexpr std::string_view noun = "a point of the cushion curve";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = CushionPoint;
        return std::tuple{
            field("deflection", &P::deflection, above("0 mm", "5 mm"), required,
                  "By which one disc gets thinner"),
            field("load", &P::load, above("0 N", "200 kN"), required, "Load that does it"),
        };
    }
};

template <>
struct PartTable<Facing> {
    static constexpr std::string_view noun = "facings";
    static constexpr std::string_view folder = "facings";
    static auto fields() {
        using P = Facing;
        return std::tuple{
            field("title", &P::title, any(), otherwise("facings without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("outer_diameter", &P::outer_diameter, within("80 mm", "800 mm"), required,
                  "Outer diameter of the facings"),
            field("inner_diameter", &P::inner_diameter, within("40 mm", "700 mm"), required,
                  "Inner diameter of the facings"),
            field("faces", &P::faces, within("2", "8"), otherwise("2"),
                  "Rubbing faces: 2 with one disc, 4 with two"),
            field("friction", &P::friction, above("0", "1.5"), required,
                  "Coefficient of friction at vanishing slip, warm and run in"),
            field("friction_tolerance", &P::friction_tolerance, within("0", "0.5"), otherwise("0"),
                  "Tolerance of the coefficient itself, plus or minus"),
            field("friction_gradient", &P::friction_gradient, within("-1 s/m", "1 s/m"),
                  otherwise("0 s/m"), "Rise of friction per slip speed; negative: judder"),
            field("slip_friction", &P::slip_friction, entries(0, 50), may_be_absent,
                  "Friction over slip speed, besides friction_gradient"),
            field("stiction", &P::stiction, within("1", "3"), otherwise("1"),
                  "Friction that holds at rest, over that at vanishing slip"),
            field("pressure_spread", &P::pressure_spread,
                  one_of({"uniform wear", "uniform pressure"}), otherwise("uniform wear"),
                  "How the pressure is spread, which makes the mean radius"),
            field("slip_modulation", &P::slip_modulation, within("0", "1"), otherwise("0"),
                  "Swing of the clamp load once per turn of slip, of the load: disc and plate or "
                  "flywheel both uneven"),
            field("shaft_modulation", &P::shaft_modulation, within("0", "1"), otherwise("0"),
                  "Swing of the clamp load once per turn of the input shaft: gearbox out of line"),
            field("engine_modulation", &P::engine_modulation, within("0", "1"), otherwise("0"),
                  "Swing of the clamp load once per turn of the engine: fingers or flywheel askew"),
            field("fade", &P::fade, entries(0, 50), may_be_absent, "Friction over temperature"),
            field("wear_allowance", &P::wear_allowance, above("0 mm", "10 mm"), required,
                  "What one face may lose, down to the rivets' reserve"),
            field("wear", &P::wear, within("0 mm", "10 mm"), otherwise("0 mm"),
                  "What one face has lost"),
            field("cushion", &P::cushion, entries(0, 100), may_be_absent,
                  "Load over deflection of one disc; absent: rigid"),
            field("free_movement", &P::free_movement, within("0 mm", "10 mm"), otherwise("0 mm"),
                  "Parting of the plates, from clamped, for one disc to turn freely; 0: not "
                  "stated"),
            field("runout", &P::runout, within("0 mm", "5 mm"), otherwise("0 mm"),
                  "Lateral runout of the disc"),
            field("runout_limit", &P::runout_limit, within("0 mm", "5 mm"), otherwise("0.5 mm"),
                  "Runout that free_movement allows for"),
        };
    }
};

}  // namespace damper
