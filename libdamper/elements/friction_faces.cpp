// SPDX-License-Identifier: MIT
#include "libdamper/elements/friction_faces.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace damper {

namespace {

bool is_curve(const Polyline& curve) {
    const auto good = [](double x) { return std::isfinite(x); };
    return !curve.at.empty() && curve.at.size() == curve.value.size() &&
           std::ranges::all_of(curve.at, good) && std::ranges::all_of(curve.value, good) &&
           std::ranges::adjacent_find(curve.at, std::greater_equal<>{}) == curve.at.end() &&
           std::ranges::all_of(curve.value, [](double x) { return x >= 0.0; });
}

}  // namespace

std::size_t Polyline::piece_of(double place) const {
    return static_cast<std::size_t>(std::ranges::upper_bound(at, place) - at.begin());
}

Polyline::Line Polyline::line_of(std::size_t piece, double place) const {
    if (piece == 0) return {value.front(), 0.0};
    if (piece >= at.size()) return {value.back(), 0.0};
    const double slope = (value[piece] - value[piece - 1]) / (at[piece] - at[piece - 1]);
    return {value[piece - 1] + slope * (place - at[piece - 1]), slope};
}

double Polyline::operator()(double place) const {
    return line_of(piece_of(place), place).value;
}

double limit(const FrictionFaces& faces, double time, double speed, double modulation) {
    // Just past the end of slip the first piece goes on: friction has no kink there.
    const std::size_t piece = std::max<std::size_t>(faces.friction.piece_of(speed), 1);
    const double mu = faces.friction.line_of(piece, speed).value;
    return faces.lever * mu * faces.load(time) * std::max(modulation, 0.0);
}

double holds_up(const FrictionFaces& faces, double time, double modulation) {
    return faces.stiction * limit(faces, time, 0.0, modulation);
}

double holds_down(const FrictionFaces& faces, double time, double modulation) {
    return holds_up(faces, time, modulation) + faces.backstop;
}

double slip_torque(const FrictionFaces& faces, Rubbing mode, double time, double rate,
                   double modulation) {
    const double sense = mode == Rubbing::slipping_up ? 1.0 : -1.0;
    const double back = mode == Rubbing::slipping_up ? 0.0 : faces.backstop;
    return sense * (limit(faces, time, sense * faces.radius * rate, modulation) + back);
}

double slip_damping(const FrictionFaces& faces, double time, double rate) {
    const double speed = faces.radius * std::abs(rate);
    const std::size_t piece = std::max<std::size_t>(faces.friction.piece_of(speed), 1);
    return faces.lever * faces.radius * faces.friction.line_of(piece, speed).slope *
           faces.load(time);
}

void check(const FrictionFaces& faces) {
    const auto positive = [](double x) { return std::isfinite(x) && x > 0.0; };
    if (!positive(faces.lever) || !positive(faces.radius) || !(faces.stiction >= 1.0) ||
        !std::isfinite(faces.stiction) || !(faces.backstop >= 0.0) ||
        !std::isfinite(faces.backstop)) {
        throw ModelError("friction faces need lever > 0, radius > 0, stiction ≥ 1, backstop ≥ 0");
    }
    if (!is_curve(faces.friction) || !is_curve(faces.load) || faces.friction.at.front() != 0.0) {
        throw ModelError(
            "friction faces need friction over slip speed from 0 on, and a load over time, by "
            "rising places and not below zero");
    }
}

const std::vector<std::string>& rubbing_names() {
    static const std::vector<std::string> names = {"sticking", "slipping up", "slipping down"};
    return names;
}

std::vector<std::pair<std::string, double>> parameters(const FrictionFaces& faces) {
    std::vector<std::pair<std::string, double>> out = {{"lever", faces.lever},
                                                       {"radius", faces.radius},
                                                       {"stiction", faces.stiction},
                                                       {"backstop", faces.backstop}};
    const auto add = [&](const Polyline& curve, const char* place, const char* value) {
        for (std::size_t i = 0; i < curve.at.size(); ++i) {
            out.emplace_back(fmt::format("{}_{}", place, i), curve.at[i]);
            out.emplace_back(fmt::format("{}_{}", value, i), curve.value[i]);
        }
    };
    add(faces.friction, "slip_speed", "friction");
    add(faces.load, "time", "load");
    return out;
}

}  // namespace damper
