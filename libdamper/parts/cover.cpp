// SPDX-License-Identifier: MIT
#include "libdamper/parts/cover.hpp"

#include "libdamper/parts/check.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

void require_less(std::string_view key, Length value, std::string_view other, Length bound,
                  std::string mend, std::vector<Finding>& findings) {
    if (value < bound) return;
    findings.push_back({{},
                        std::string(key),
                        write_quantity(value),
                        fmt::format("less than {}, {}", other, write_quantity(bound)),
                        std::move(mend)});
}

}  // namespace

std::vector<Finding> check(const Cover& cover) {
    std::vector<Finding> findings;
    require_less("inner_radius", cover.inner_radius, "outer_radius", cover.outer_radius,
                 "The two values may be swapped.", findings);
    const bool push = cover.release == "push";
    const auto [outer_key, outer] = push ? std::pair("load_radius", cover.load_radius)
                                         : std::pair("pivot_radius", cover.pivot_radius);
    const auto [inner_key, inner] = push ? std::pair("pivot_radius", cover.pivot_radius)
                                         : std::pair("load_radius", cover.load_radius);
    require_less(inner_key, inner, outer_key, outer,
                 push ? "A push-type spring presses on the plate outside its pivot."
                      : "A pull-type spring presses on the plate inside its pivot.",
                 findings);
    require_less("finger_radius", cover.finger_radius, inner_key, inner,
                 "Fingers reach inwards from the ring.", findings);
    const auto within_ring = [&](std::string_view key, Length radius) {
        if (radius >= cover.inner_radius && radius <= cover.outer_radius) return;
        findings.push_back(
            {{},
             std::string(key),
             write_quantity(radius),
             fmt::format("from inner_radius to outer_radius, {} to {}",
                         write_quantity(cover.inner_radius), write_quantity(cover.outer_radius)),
             "The spring touches plate and cover on its unbroken ring."});
    };
    if (findings.empty()) {
        within_ring(outer_key, outer);
        within_ring(inner_key, inner);
    }
    require_less("thickness_tolerance", cover.thickness_tolerance, "thickness", cover.thickness, "",
                 findings);
    require_less("cone_height_tolerance", cover.cone_height_tolerance, "cone_height",
                 cover.cone_height, "", findings);
    require_less("set_tolerance", cover.set_tolerance, "set_deflection", cover.set_deflection, "",
                 findings);
    return findings;
}

}  // namespace damper
