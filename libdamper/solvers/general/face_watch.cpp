// SPDX-License-Identifier: MIT
#include "libdamper/solvers/general/face_watch.hpp"

#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <cstdint>

namespace damper {

namespace {

constexpr std::size_t pieces = 4;  // of a step that are looked at one by one
constexpr std::uintmax_t root_trials = 60;
constexpr double rate_rounding = 1e-12;    // of the largest speed
constexpr double torque_rounding = 1e-11;  // of what is held

}  // namespace

FaceWatch::FaceWatch(std::size_t masses) : y_(2 * masses), slope_(2 * masses) {}

std::vector<FaceWatch::Change> FaceWatch::guards(const Equations& equations) {
    std::vector<Change> out;
    for (std::size_t f = 0; f < equations.faces(); ++f) {
        if (equations.rubbing(f) != Rubbing::sticking) {
            out.push_back({.face = f, .to = Rubbing::sticking});
            continue;
        }
        out.push_back({.face = f, .to = Rubbing::slipping_up, .up = true});
        out.push_back({.face = f, .to = Rubbing::slipping_down, .up = false});
    }
    return out;
}

double FaceWatch::value(const Change& change, const Equations::Row& row) {
    return change.up ? row.face_up[change.face] : row.face_down[change.face];
}

double FaceWatch::rounding(const Change& change, const Equations::Row& row,
                           const Equations& equations, double top_speed) {
    if (equations.rubbing(change.face) != Rubbing::sticking) return rate_rounding * top_speed;
    return torque_rounding *
           (std::abs(row.face_torque[change.face]) + std::abs(row.face_up[change.face]));
}

double FaceWatch::at(const Change& change, const Step& step, Equations& equations, double t) {
    step.at(t, y_);
    return value(change, equations.aside(y_, slope_, t));
}

std::optional<FaceWatch::Change> FaceWatch::torn(const Equations::Row& now,
                                                 const Equations& equations, double time) {
    for (Change change : guards(equations)) {
        if (change.to == Rubbing::sticking) continue;
        if (value(change, now) >= -rounding(change, now, equations, 0.0)) continue;
        change.time = time;
        return change;
    }
    return std::nullopt;
}

std::optional<FaceWatch::Change> FaceWatch::first(const Step& step, Equations& equations,
                                                  double top_speed) {
    std::optional<Change> earliest;
    for (Change change : guards(equations)) {
        const Equations::Row& end = equations.rows().back();
        const double floor = rounding(change, end, equations, top_speed);
        double before = value(change, equations.rows().front());
        double from = step.from();
        for (std::size_t i = 1; i <= pieces; ++i) {
            const double to = i == pieces ? step.to()
                                          : step.from() + step.length() * static_cast<double>(i) /
                                                              static_cast<double>(pieces);
            const double now = i == pieces ? value(change, end) : at(change, step, equations, to);
            if (now < -floor) {
                double root = from;
                if (before > 0.0) {
                    std::uintmax_t trials = root_trials;
                    const auto bracket = boost::math::tools::toms748_solve(
                        [&](double t) { return at(change, step, equations, t); }, from, to, before,
                        now, boost::math::tools::eps_tolerance<double>(48), trials);
                    root = bracket.second;
                }
                if (!earliest || root < earliest->time) {
                    change.time = root;
                    earliest = change;
                }
                break;
            }
            before = now;
            from = to;
        }
    }
    return earliest;
}

}  // namespace damper
