// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/parts/field.hpp"
#include "libdamper/scenario/cause.hpp"

namespace damper {

template <>
struct PartTable<CauseSign> {
    static constexpr std::string_view noun = "a sign of a cause";
    static constexpr std::string_view folder = "";
    static auto fields() {
        using P = CauseSign;
        return std::tuple{
            field("run", &P::run, any(), may_be_absent, "Scenario that shows it"),
            field("cover", &P::cover, any(), may_be_absent, "Vehicle whose clutch shows it"),
            field("heat", &P::heat, any(), may_be_absent, "Vehicle whose starts show it"),
            field("measure", &P::measure, any(), required, "Figure that shows it"),
            field("above", &P::above, any(), may_be_absent,
                  "With the cause the figure is more, without it no more"),
            field("below", &P::below, any(), may_be_absent,
                  "With the cause the figure is less, without it no less"),
        };
    }
};

template <>
struct PartTable<Cause> {
    static constexpr std::string_view noun = "a cause";
    static constexpr std::string_view folder = "causes";
    static auto fields() {
        using P = Cause;
        return std::tuple{
            field("title", &P::title, any(), required, "Name for people"),
            field("origin", &P::origin, any(), otherwise("not stated"),
                  "Where the change and its signs come from"),
            field("complaint", &P::complaint,
                  one_of({"rattle at idle", "rattle in creep", "rattle when pulling",
                          "rattle on the overrun", "boom", "clunk", "shuffle", "judder", "slip",
                          "drag", "pedal pulsation", "noise at start or stop", "overheating"}),
                  required, "What is complained of"),
            field("seat", &P::seat,
                  one_of({"disc", "cover", "facings", "flywheel", "release", "engine", "gearbox",
                          "axle", "mounts", "use"}),
                  required, "Where the cause sits"),
            field("signs", &P::signs, entries(1, 20), required, "What shows it"),
        };
    }
};

}  // namespace damper
