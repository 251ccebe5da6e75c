// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/axle.hpp"
#include "libdamper/parts/field.hpp"

namespace damper {

template <>
struct PartTable<Axle> {
    static constexpr std::string_view noun = "an axle";
    static constexpr std::string_view folder = "axles";
    static auto fields() {
        using P = Axle;
        return std::tuple{
            field("title", &P::title, any(), otherwise("axle without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("propshaft_stiffness", &P::propshaft_stiffness,
                  within("0 N m/rad", "1e8 N m/rad"), otherwise("0 N m/rad"),
                  "Torsional stiffness of the propshaft; 0: none"),
            field("propshaft_inertia", &P::propshaft_inertia, within("0 kg m2", "50 kg m2"),
                  otherwise("0 kg m2"), "Axle end of the propshaft with the pinion"),
            field("propshaft_loss_factor", &P::propshaft_loss_factor, within("0", "1"),
                  otherwise("0"), "Loss factor of the propshaft"),
            field("final_drive", &P::final_drive, within("0.5", "40"), required,
                  "Pinion speed over mean wheel speed"),
            field("differential_inertia", &P::differential_inertia, above("0 kg m2", "100 kg m2"),
                  required, "Crown wheel and cage at wheel speed"),
            field("lash", &P::lash, within("0 deg", "60 deg"), required,
                  "Play of final drive and joints together, at the wheel"),
            field("mesh_stiffness", &P::mesh_stiffness, within("10 N m/rad", "1e10 N m/rad"),
                  required, "Of the final drive teeth at the crown wheel"),
            field("mesh_damping", &P::mesh_damping, within("0", "5"), required,
                  "Damping ratio of that contact on the smaller side"),
            field("half_shaft_stiffness", &P::half_shaft_stiffness,
                  within("10 N m/rad", "1e8 N m/rad"), required, "Of one half-shaft"),
            field("half_shaft_damping", &P::half_shaft_damping,
                  within("0 N m s/rad", "1e6 N m s/rad"), required, "Of one half-shaft"),
            field("drag", &P::drag, within("0 N m", "5000 N m"), required,
                  "Bearings and churning, at the wheels"),
        };
    }
};

template <>
struct PartTable<Tyre> {
    static constexpr std::string_view noun = "a tyre";
    static constexpr std::string_view folder = "tyres";
    static auto fields() {
        using P = Tyre;
        return std::tuple{
            field("title", &P::title, any(), otherwise("tyre without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("rim_inertia", &P::rim_inertia, above("0 kg m2", "500 kg m2"), required,
                  "Rim, hub and brake"),
            field("belt_inertia", &P::belt_inertia, above("0 kg m2", "500 kg m2"), required,
                  "Belt and tread"),
            field("carcass_stiffness", &P::carcass_stiffness, within("10 N m/rad", "1e9 N m/rad"),
                  required, "Torsional, rim to belt"),
            field("carcass_damping", &P::carcass_damping, within("0 N m s/rad", "1e7 N m s/rad"),
                  otherwise("0 N m s/rad"), "Torsional, rim to belt"),
            field("rolling_radius", &P::rolling_radius, within("50 mm", "2000 mm"), required,
                  "Distance rolled per radian"),
            field("slip_stiffness", &P::slip_stiffness, within("100 N", "1e8 N"), required,
                  "Driving force per unit of slip"),
            field("grip", &P::grip, within("0", "3"), otherwise("0"),
                  "Largest force over wheel load; 0: without limit"),
            field("rolling_resistance", &P::rolling_resistance, within("0", "0.3"), required,
                  "Rolling resistance over wheel load"),
        };
    }
};

}  // namespace damper
