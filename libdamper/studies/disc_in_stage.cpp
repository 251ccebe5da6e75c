// SPDX-License-Identifier: MIT
#include "libdamper/studies/disc_in_stage.hpp"

#include "libdamper/assemble/disc.hpp"

namespace damper {

namespace {

bool is_disc(const Branch& branch) {
    return branch.kind == "disc";
}

/// Branches of the disc in series share the torque.
double disc_stiffness(const Driveline& line, const Linearised& linear) {
    double compliance = 0.0;
    for (std::size_t b = 0; b < line.branches.size(); ++b) {
        if (is_disc(line.branches[b])) compliance += 1.0 / linear.elements[b].stiffness;
    }
    return 1.0 / compliance;
}

DiscInStage in_stage(const OperatingPoint& point, StageIsolation told) {
    const Driveline& line = point.assembled.line;
    State state = point.state;
    std::size_t part = 0;
    for (const Branch& branch : line.branches) {
        if (is_disc(branch)) settle(branch, told.torque, state, part);
        for (const Cell& cell : branch.chain) part += cell.parts.size();
    }
    DiscInStage out{.told = std::move(told),
                    .slips = linearise(line, state, Friction::slips),
                    .sticks = linearise(line, state, Friction::sticks)};
    out.told.stiffness = disc_stiffness(line, out.slips);
    return out;
}

}  // namespace

std::vector<DiscInStage> disc_in_stages(const Disc& disc, const OperatingPoint& point) {
    std::vector<DiscInStage> out;
    const std::vector<StageCorners> corners = stage_corners(disc);
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const StageCorners& s = corners[i];
        const std::string& name = disc.stages[i].name;
        const auto add = [&](const char* side, double torque) {
            StageIsolation told;
            told.stage = name;
            told.side = side;
            told.torque = torque;
            out.push_back(in_stage(point, std::move(told)));
        };
        add("drive", 0.5 * (s.drive_start_torque + s.drive_end_torque));
        add("coast", -0.5 * (s.coast_start_torque + s.coast_end_torque));
    }
    return out;
}

int single_disc(const OperatingPoint& point) {
    int found = -1;
    for (std::size_t b = 0; b < point.assembled.line.branches.size(); ++b) {
        if (!is_disc(point.assembled.line.branches[b])) continue;
        if (found >= 0) return -1;
        found = static_cast<int>(b);
    }
    return found;
}

int swinging_element(const OperatingPoint& point) {
    return point.assembled.flywheel >= 0 ? point.assembled.flywheel : single_disc(point);
}

}  // namespace damper
