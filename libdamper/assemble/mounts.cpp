// SPDX-License-Identifier: MIT
#include "libdamper/assemble/mounts.hpp"

#include "libdamper/assemble/clutch_side.hpp"
#include "libdamper/elements/spring.hpp"

#include <utility>

namespace damper {

namespace {

/// From the coast stop to the drive stop, with the free play of a torn mount in the middle.
Law mount_law(const Mounts& mounts) {
    const double k = mounts.roll_stiffness.si() * mounts.stiffness_factor.si();
    const double stop = mounts.stop_stiffness.si();
    const double half_play = 0.5 * mounts.free_play.si();
    std::vector<SpringSegment> segments;
    std::vector<double> corners;
    if (mounts.coast_stop.si() > 0.0) {
        segments.push_back({"coast stop", stop});
        corners.push_back(-mounts.coast_stop.si());
    }
    segments.push_back({half_play > 0.0 ? "coast side" : "between the stops", k});
    if (half_play > 0.0) {
        corners.push_back(-half_play);
        segments.push_back({"free", 0.0});
        corners.push_back(half_play);
        segments.push_back({"drive side", k});
    }
    if (mounts.drive_stop.si() > 0.0) {
        corners.push_back(mounts.drive_stop.si());
        segments.push_back({"drive stop", stop});
    }
    return piecewise_spring(segments, corners);
}

}  // namespace

void add_power_unit(Assembled& out, const Vehicle& vehicle) {
    if (!vehicle.mounts) return;
    const Mounts& mounts = *vehicle.mounts;
    out.power_unit = add_mass(out.line, "power unit", mounts.roll_inertia.si(), 0.0);
    out.torque_share = mounts.torque_share.si();
    out.mounts =
        add_element(out.line, "mounts", "mounts", {{out.power_unit, -1.0}}, mount_law(mounts));
    out.line.branches.back().damping = mounts.damping.si();
}

void lean_on_power_unit(Assembled& out) {
    if (out.power_unit < 0) return;
    for (Input& input : out.line.inputs) {
        if (input.inertia == out.engine) input.reaction = {out.power_unit, -out.torque_share};
    }
}

std::vector<RowEntry> in_power_unit(const Assembled& out, std::vector<RowEntry> row,
                                    double factor) {
    if (out.power_unit >= 0 && factor != 0.0) {
        row.push_back({out.power_unit, factor * out.torque_share});
    }
    return row;
}

}  // namespace damper
