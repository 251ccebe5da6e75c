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
