// SPDX-License-Identifier: MIT
#include "libdamper/fit/bench_path.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace damper {

namespace {

/// Stiffness of the springs of a cell that moves on from `deflection` in `sense`.
double stiffness_from(const StageCell& cell, double deflection, double sense) {
    // Just behind a corner, in the sense of the motion, counts as beyond it.
    const auto beyond = [&](double corner) {
        return sense > 0.0 ? deflection >= corner : deflection > corner;
    };
    if (!beyond(-cell.coast_end)) return cell.contact;
    if (!beyond(-cell.coast_seat)) return cell.coast;
    if (!beyond(cell.drive_seat)) return cell.contact;
    if (!beyond(cell.drive_end)) return cell.drive;
    return cell.contact;
}

}  // namespace

PathMeans::At PathMeans::at(double twist) {
    const std::vector<double>& x = path_.twist;
    const std::vector<double>& y = path_.torque;
    if (x.size() < 2) return {y[0], 0.0, y[0] * (twist - x[0])};
    const double sense = x.back() >= x.front() ? 1.0 : -1.0;
    const auto area = [&](std::size_t i) { return 0.5 * (y[i] + y[i + 1]) * (x[i + 1] - x[i]); };
    while (piece_ + 2 < x.size() && sense * (twist - x[piece_ + 1]) > 0.0) {
        area_ += area(piece_);
        ++piece_;
    }
    while (piece_ > 0 && sense * (twist - x[piece_]) < 0.0) {
        --piece_;
        area_ -= area(piece_);
    }
    const double way = x[piece_ + 1] - x[piece_];
    const double slope = way != 0.0 ? (y[piece_ + 1] - y[piece_]) / way : 0.0;
    const double torque = y[piece_] + slope * (twist - x[piece_]);
    return {torque, slope, area_ + 0.5 * (torque + y[piece_]) * (twist - x[piece_])};
}

PathMeans::Mean PathMeans::over(double twist, double span) {
    if (span == 0.0) {
        const At here = at(twist);
        return {here.torque, here.slope};
    }
    const At begin = at(twist - 0.5 * span);
    const At end = at(twist + 0.5 * span);
    return {(end.area - begin.area) / span, (end.torque - begin.torque) / span};
}

DiscBench::DiscBench(const Disc& disc)
    : play_(disc.spline_play.si()), play_contact_(contact_stiffness(disc)) {
    for (const StageCell& cell : stage_cells(disc)) {
        if (cell.friction_play > 0.0)
            throw ModelError("friction with play has no closed form here");
        cells_.push_back({.cell = cell, .way = {}});
    }
}

/// Corners of one cell over torque, from where it is on to beyond its stop.
void DiscBench::plan(Moving& one, double sense) const {
    const StageCell& cell = one.cell;
    const double slip =
        cell.friction_limit > 0.0
            ? one.deflection + (sense * cell.friction_limit - one.friction) / cell.friction_grip
            : one.deflection;
    std::array<double, 5> corners{-cell.coast_end, -cell.coast_seat, cell.drive_seat,
                                  cell.drive_end, slip};
    std::sort(corners.begin(), corners.end(),
              [&](double a, double b) { return sense * a < sense * b; });
    one.way.clear();
    one.at = 0;
    const auto add = [&](double torque, double deflection) {
        double stiffness = stiffness_from(cell, deflection, sense);
        if (sense * (slip - deflection) > 0.0) stiffness += cell.friction_grip;
        one.way.push_back({torque, deflection, 1.0 / stiffness});
    };
    add(torque_, one.deflection);
    for (const double corner : corners) {
        const Corner& last = one.way.back();
        if (!(sense * (corner - last.deflection) > 0.0)) continue;
        add(last.torque + (corner - last.deflection) / last.compliance, corner);
    }
}

/// Takes the cell to the present torque of the disc.
void DiscBench::settle(Moving& one, double sense) const {
    const Corner& last = one.way[one.at];
    const double deflection = last.deflection + (torque_ - last.torque) * last.compliance;
    one.friction += one.cell.friction_grip * (deflection - one.deflection);
    one.friction = sense > 0.0 ? std::min(one.friction, one.cell.friction_limit)
                               : std::max(one.friction, -one.cell.friction_limit);
    one.deflection = deflection;
}

void DiscBench::move_to(double target, BenchPath& path) {
    path.twist.assign(1, twist_);
    path.torque.assign(1, torque_);
    const double sense = target >= twist_ ? 1.0 : -1.0;
    for (Moving& one : cells_) plan(one, sense);
    const double far = std::numeric_limits<double>::infinity();
    const auto note = [&] {
        path.twist.push_back(twist_);
        path.torque.push_back(torque_);
    };
    while (sense * (target - twist_) > 0.0) {
        double next = far;  // sense · torque of the next corner of any cell
        double compliance = 0.0;
        for (const Moving& one : cells_) {
            compliance += one.way[one.at].compliance;
            if (one.at + 1 < one.way.size()) {
                next = std::min(next, sense * one.way[one.at + 1].torque);
            }
        }
        // The spline goes through its play where the torque turns round.
        const bool at_play =
            play_ > 0.0 && torque_ == 0.0 && sense * play_deflection_ < 0.5 * play_;
        if (at_play) {
            const double rest = 0.5 * play_ - sense * play_deflection_;
            const double left = sense * (target - twist_);
            twist_ = rest < left ? twist_ + sense * rest : target;
            play_deflection_ += sense * std::min(rest, left);
            note();
            continue;
        }
        if (play_ > 0.0) {
            compliance += 1.0 / play_contact_;
            if (sense * torque_ < 0.0) next = std::min(next, 0.0);
        }
        const double to_next = (next - sense * torque_) * compliance;
        if (to_next >= sense * (target - twist_)) {
            torque_ += (target - twist_) / compliance;
            twist_ = target;
            note();
            break;
        }
        twist_ += sense * to_next;
        torque_ = sense * next;
        for (Moving& one : cells_) {
            while (one.at + 1 < one.way.size() &&
                   sense * one.way[one.at + 1].torque <= sense * torque_) {
                ++one.at;
            }
        }
        note();
    }
    for (Moving& one : cells_) settle(one, sense);
}

}  // namespace damper
