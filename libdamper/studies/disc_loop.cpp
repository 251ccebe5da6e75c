// SPDX-License-Identifier: MIT
#include "libdamper/assemble/disc.hpp"
#include "libdamper/assemble/two_mass_flywheel.hpp"
#include "libdamper/driveline/quasi_static.hpp"
#include "libdamper/studies/run_one.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <utility>
#include <vector>

namespace damper {

namespace {

constexpr int points = 1200;
constexpr double beyond_stop = 0.04;  // share of the range shown past either stop

Branch damper_of(const Disc& disc) {
    Branch branch{.name = "disc",
                  .kind = "disc",
                  .row = {{0, 1.0}},
                  .damping = 0.0,
                  .chain = disc_cells(disc)};
    if (disc.spline_play.si() > 0.0) branch.chain.push_back(spline_cell(disc));
    return branch;
}

std::vector<DiscLoop::Corner> corners_of(const StagedSpring& spring, double half_play) {
    const std::vector<StageCorners> corners = stage_corners(spring);
    std::vector<DiscLoop::Corner> out;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const bool last = i + 1 == corners.size();
        const std::string& name = spring.stages[i].name;
        out.push_back({last ? "drive stop" : fmt::format("{} drive end", name),
                       corners[i].drive_end + half_play, corners[i].drive_end_torque});
        out.push_back({last ? "coast stop" : fmt::format("{} coast end", name),
                       -corners[i].coast_end - half_play, -corners[i].coast_end_torque});
    }
    std::sort(out.begin(), out.end(),
              [](const auto& a, const auto& b) { return a.twist < b.twist; });
    return out;
}

/// Puts a twist into the rising list, in place of one that differs by rounding only.
void add_exactly(double twist, std::vector<double>& list) {
    const double rounding = 1e-9 * (list.back() - list.front());
    const auto at = std::lower_bound(list.begin(), list.end(), twist - rounding);
    if (at != list.end() && *at <= twist + rounding) {
        *at = twist;
    } else {
        list.insert(at, twist);
    }
}

DiscLoop loop_of(const Branch& branch, std::vector<DiscLoop::Corner> corners) {
    DiscLoop loop;
    loop.corners = std::move(corners);
    const double low = loop.corners.front().twist;
    const double high = loop.corners.back().twist;
    const double margin = beyond_stop * (high - low);
    for (int i = 0; i <= points; ++i) {
        loop.twist.push_back(low - margin + (high - low + 2.0 * margin) * i / points);
    }
    for (const DiscLoop::Corner& corner : loop.corners) add_exactly(corner.twist, loop.twist);
    add_exactly(0.0, loop.twist);
    // A whole settling cycle first: the loop must not depend on where the friction began.
    QuasiStatic motion(branch);
    motion.move_to(loop.twist.back());
    motion.move_to(loop.twist.front());
    for (const double twist : loop.twist) loop.upward.push_back(motion.move_to(twist));
    loop.downward.resize(loop.twist.size());
    for (std::size_t i = loop.twist.size(); i-- > 0;) {
        loop.downward[i] = motion.move_to(loop.twist[i]);
    }
    return loop;
}

}  // namespace

DiscLoop quasi_static_loop(const Disc& disc) {
    return loop_of(damper_of(disc), corners_of(staged_spring(disc), 0.5 * disc.spline_play.si()));
}

DiscLoop quasi_static_loop(const TwoMassFlywheel& flywheel, double speed) {
    return loop_of(flywheel_branch(flywheel, speed, 0, 0),
                   corners_of(staged_spring(flywheel, speed), 0.0));
}

}  // namespace damper
