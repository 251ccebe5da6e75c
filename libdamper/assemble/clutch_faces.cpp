// SPDX-License-Identifier: MIT
#include "libdamper/assemble/clutch_faces.hpp"

#include "libdamper/assemble/clutch_model.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace damper {

namespace {

constexpr double gradient_holds = 0.5;  // of friction at vanishing slip
constexpr int pieces_of_travel = 16;    // straight pieces of clamp load from one point to the next

/// μ over slip speed, without fade.
Polyline friction_over_slip(const Facing& facing) {
    const double friction = facing.friction.si();
    const double gradient = facing.friction_gradient.si();
    Polyline table{{0.0}, {1.0}};
    for (const SlipFrictionPoint& point : facing.slip_friction) {
        table.at.push_back(point.speed.si());
        table.value.push_back(point.factor.si());
    }
    std::vector<double> places = table.at;
    double last = 0.0;
    if (gradient != 0.0) {
        last = gradient_holds * friction / std::abs(gradient);
        places.push_back(last);
    }
    std::ranges::sort(places);
    const auto [first, end] = std::ranges::unique(places);
    places.erase(first, end);
    Polyline out;
    for (const double v : places) {
        out.at.push_back(v);
        out.value.push_back(std::max(friction * table(v) + gradient * std::min(v, last), 0.0));
    }
    return out;
}

}  // namespace

double full_clamp_load(const Vehicle& vehicle) {
    const ClutchModel clutch = clutch_model(vehicle);
    return plate_load_under(clutch.worn_by(clutch.wear_now), clutch.bearing_preload);
}

Polyline clamp_course(const Vehicle& vehicle, const TakeUp& take_up) {
    const double full = full_clamp_load(vehicle);
    Polyline out;
    const auto add = [&](double time, double load) {
        out.at.push_back(time);
        out.value.push_back(load);
    };
    if (!take_up.release.empty()) {
        const ClutchModel clutch = clutch_model(vehicle);
        const ClampedCover cover = clutch.worn_by(clutch.wear_now);
        const auto load_at = [&](double share) {
            // What rests on the bearing with the pedal up takes its part at the end of the way.
            return std::min(full, at_travel(cover, share * clutch.travel).plate_load);
        };
        for (std::size_t i = 0; i < take_up.release.size(); ++i) {
            const double time = take_up.release[i].time.si();
            const double share = take_up.release[i].travel.si();
            if (i > 0) {
                const double time_before = take_up.release[i - 1].time.si();
                const double before = take_up.release[i - 1].travel.si();
                for (int p = 1; p < pieces_of_travel && before != share; ++p) {
                    const double part = static_cast<double>(p) / pieces_of_travel;
                    add(std::lerp(time_before, time, part),
                        load_at(std::lerp(before, share, part)));
                }
            }
            add(time, load_at(share));
        }
        return out;
    }
    if (!take_up.course.empty()) {
        for (const ClampPoint& point : take_up.course) {
            add(point.time.si(), full * point.clamp.si());
        }
        return out;
    }
    add(take_up.start.si(), 0.0);
    add(take_up.start.si() + take_up.engage_time.si(), full * take_up.clamp.si());
    return out;
}

FrictionFaces clutch_faces(const Vehicle& vehicle, const TakeUp& take_up) {
    const ClutchModel clutch = clutch_model(vehicle);
    const Facing& facing = *vehicle.facing;
    FrictionFaces faces;
    faces.radius = friction_radius(clutch.outer_diameter, clutch.inner_diameter,
                                   facing.pressure_spread == "uniform pressure"
                                       ? PressureSpread::uniform_pressure
                                       : PressureSpread::uniform_wear);
    faces.lever = clutch.faces * faces.radius;
    faces.friction = friction_over_slip(facing);
    const double fade = clutch.fade.at(take_up.face_temperature.si());
    for (double& mu : faces.friction.value) mu *= fade;
    faces.stiction = facing.stiction.si();
    faces.load = clamp_course(vehicle, take_up);
    return faces;
}

}  // namespace damper
