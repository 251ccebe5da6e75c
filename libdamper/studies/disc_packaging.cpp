// SPDX-License-Identifier: MIT
#include "libdamper/studies/disc_packaging.hpp"

#include "libdamper/assemble/disc.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <variant>

namespace damper {

namespace {

constexpr double usual_work = 1.3;  // estimate of this tool, no source

// Largest twists: upper ends of what discs of the class have, stiff and long ones; common practice,
// no source.
constexpr std::array practices = {
    PackagingPractice{"car", "26 deg", "18 deg", 1.2, 0.5, usual_work},
    PackagingPractice{"light van", "28 deg", "18 deg", 1.2, 0.5, usual_work},
    PackagingPractice{"medium truck", "24 deg", "15 deg", 1.2, 0.5, usual_work},
    PackagingPractice{"heavy truck", "20 deg", "12 deg", 1.15, 0.5, usual_work},
};

/// What rounding to the digits of a description may take beyond a limit.
constexpr double rounding = 1e-4;

double angle(std::string_view text) {
    return std::get<double>(read_quantity(std::string(text), Angle::dimension));
}

void at_most(double value, double limit, const Dimension& dimension, const char* what,
             std::vector<PackagingMiss>& out) {
    if (value <= limit * (1.0 + rounding)) return;
    out.push_back({fmt::format("{} is {}; at most {}", what, write_quantity(value, dimension, 4),
                               write_quantity(limit, dimension, 4)),
                   value / limit - 1.0});
}

void at_least(double value, double limit, const Dimension& dimension, const char* what,
              std::vector<PackagingMiss>& out) {
    if (value >= limit * (1.0 - rounding)) return;
    out.push_back({fmt::format("{} is {}; at least {}", what, write_quantity(value, dimension, 4),
                               write_quantity(limit, dimension, 4)),
                   1.0 - value / limit});
}

}  // namespace

const PackagingPractice& packaging_practice(std::string_view vehicle_class) {
    const auto found =
        std::ranges::find(practices, vehicle_class, &PackagingPractice::vehicle_class);
    return found == practices.end() ? practices.front() : *found;
}

DiscReach reach_of(const Disc& disc) {
    DiscReach out;
    double began = 0.0;
    for (const StageCorners& stage : stage_corners(disc)) {
        out.spring_work +=
            0.5 * (stage.drive_start_torque + stage.drive_end_torque) * (stage.drive_end - began);
        began = stage.drive_end;
        out.drive_twist = stage.drive_end;
        out.coast_twist = stage.coast_end;
        out.stop_torque = stage.drive_end_torque;
        out.coast_stop_torque = stage.coast_end_torque;
    }
    return out;
}

DiscPackaging packaging_of(const PackagingPractice& practice, const Disc& fitted,
                           double peak_torque) {
    const DiscReach now = reach_of(fitted);
    return {.drive_twist = std::max(angle(practice.drive_twist), now.drive_twist),
            .coast_twist = std::max(angle(practice.coast_twist), now.coast_twist),
            .stop_torque = practice.stop_factor * peak_torque,
            .coast_stop_torque = practice.coast_stop_factor * peak_torque,
            .spring_work = practice.spring_work_factor * now.spring_work};
}

std::vector<PackagingMiss> packaging_misses(const Disc& disc, const DiscPackaging& limits) {
    std::vector<PackagingMiss> out;
    const DiscReach reach = reach_of(disc);
    at_most(reach.drive_twist, limits.drive_twist, Angle::dimension, "twist to the drive stop",
            out);
    at_most(reach.coast_twist, limits.coast_twist, Angle::dimension, "twist to the coast stop",
            out);
    at_least(reach.stop_torque, limits.stop_torque, Torque::dimension, "torque at the drive stop",
             out);
    at_least(reach.coast_stop_torque, limits.coast_stop_torque, Torque::dimension,
             "torque at the coast stop", out);
    at_most(reach.spring_work, limits.spring_work, Energy::dimension,
            "work in the springs at the drive stop", out);
    const std::vector<StageCorners> stages = stage_corners(disc);
    for (std::size_t i = 1; i < stages.size(); ++i) {
        at_least(stages[i].drive_stiffness, stages[i - 1].drive_stiffness, Stiffness::dimension,
                 fmt::format("stiffness of stage {}, drive side,", i + 1).c_str(), out);
        at_least(stages[i].coast_stiffness, stages[i - 1].coast_stiffness, Stiffness::dimension,
                 fmt::format("stiffness of stage {}, coast side,", i + 1).c_str(), out);
    }
    return out;
}

}  // namespace damper
