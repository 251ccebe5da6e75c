// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/parts/oil.hpp"

namespace damper {

template <>
struct PartTable<Oil> {
    static constexpr std::string_view noun = "an oil";
    static constexpr std::string_view folder = "oils";
    static auto fields() {
        using P = Oil;
        return std::tuple{
            field("title", &P::title, any(), otherwise("oil without title"), "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the numbers come from"),
            field("viscosity_40", &P::viscosity_40, within("1 mm2/s", "5000 mm2/s"), required,
                  "Kinematic viscosity at 40 degC"),
            field("viscosity_100", &P::viscosity_100, within("0.5 mm2/s", "1000 mm2/s"), required,
                  "Kinematic viscosity at 100 degC"),
        };
    }
};

}  // namespace damper
