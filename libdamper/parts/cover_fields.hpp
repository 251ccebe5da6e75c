// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/cover.hpp"
#include "libdamper/parts/field.hpp"
#include "libdamper/parts/heat_mass_fields.hpp"

namespace damper {

template <>
struct PartTable<Cover> {
    static constexpr std::string_view noun = "a clutch cover";
    static constexpr std::string_view folder = "covers";
    static auto fields() {
        using P = Cover;
        return std::tuple{
            field("title", &P::title, any(), otherwise("cover without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("release", &P::release, one_of({"push", "pull"}), required,
                  "Whether the release bearing pushes or pulls the fingers"),
            field("outer_radius", &P::outer_radius, within("40 mm", "400 mm"), required,
                  "Outer radius of the diaphragm spring"),
            field("inner_radius", &P::inner_radius, within("20 mm", "400 mm"), required,
                  "Inner radius of its unbroken ring, where the slots begin"),
            field("load_radius", &P::load_radius, within("20 mm", "400 mm"), required,
                  "Where the spring presses on the pressure plate"),
            field("pivot_radius", &P::pivot_radius, within("20 mm", "400 mm"), required,
                  "Where the spring tilts on the cover"),
            field("finger_radius", &P::finger_radius, within("5 mm", "200 mm"), required,
                  "Where the release bearing acts on the fingers"),
            field("thickness", &P::thickness, within("0.5 mm", "15 mm"), required,
                  "Thickness of the spring"),
            field("cone_height", &P::cone_height, within("0.5 mm", "40 mm"), required,
                  "Height of the unstressed ring's cone, without thickness"),
            field("modulus", &P::modulus, within("100000 MPa", "300000 MPa"),
                  otherwise("206000 MPa"), "Modulus of elasticity"),
            field("poisson", &P::poisson, within("0", "0.49"), otherwise("0.3"),
                  "Ratio of lateral to axial strain"),
            field("set_deflection", &P::set_deflection, above("0 mm", "60 mm"), required,
                  "Deflection between load and pivot circle with a new disc clamped"),
            field("rated_travel", &P::rated_travel, within("1 mm", "40 mm"), required,
                  "Travel of the release bearing for which the lift is stated"),
            field("elastic_loss", &P::elastic_loss, within("0 mm", "5 mm"), otherwise("0 mm"),
                  "Plate lift lost to bending of cover and fingers at full release"),
            field("lost_lift", &P::lost_lift, within("0 mm", "10 mm"), otherwise("0 mm"),
                  "Further lift lost: bent cover, worn fingers, torn strap"),
            field("parallelism", &P::parallelism, within("0 mm", "5 mm"), otherwise("0 mm"),
                  "Largest less smallest lift around the plate"),
            field("load_factor", &P::load_factor, above("0", "2"), otherwise("1"),
                  "Of the load when new; below 1: set by heat, cracked"),
            field("wear_taken_up", &P::wear_taken_up, within("0", "1"), otherwise("0"),
                  "Share of facing wear that a self-adjusting cover makes good"),
            field("thickness_tolerance", &P::thickness_tolerance, within("0 mm", "1 mm"),
                  otherwise("0 mm"), "Tolerance of the thickness, plus or minus"),
            field("cone_height_tolerance", &P::cone_height_tolerance, within("0 mm", "2 mm"),
                  otherwise("0 mm"), "Tolerance of the cone height, plus or minus"),
            field("set_tolerance", &P::set_tolerance, within("0 mm", "5 mm"), otherwise("0 mm"),
                  "Tolerance of the set deflection, plus or minus"),
            field("modulus_tolerance", &P::modulus_tolerance, within("0", "0.2"), otherwise("0"),
                  "Tolerance of the modulus as a share of it, plus or minus"),
            field("pressure_plate", &P::pressure_plate, any(), required,
                  "What of the pressure plate takes heat"),
            field("centre_plate", &P::centre_plate, any(), may_be_absent,
                  "The same of the plate between two discs"),
        };
    }
};

}  // namespace damper
