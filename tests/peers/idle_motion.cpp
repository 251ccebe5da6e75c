// SPDX-License-Identifier: MIT
#include "tests/peers/idle_motion.hpp"

#include <array>
#include <cmath>
#include <stdexcept>

namespace damper::peers {

namespace {

std::array<double, 4> corners(const Stage& s) {
    return {-s.end[0], -s.seat[0], s.seat[1], s.end[1]};
}

double slope_of_piece(const Stage& s, std::size_t piece) {
    return std::array{s.contact, s.stiffness[0], s.contact, s.stiffness[1], s.contact}[piece];
}

/// Which piece of its spring carries this torque, and the twist there.
struct Carried {
    std::size_t piece = 0;
    double twist = 0.0;
};

Carried carried(const Stage& s, double torque) {
    const std::array<double, 4> corner = corners(s);
    std::size_t piece = 0;
    while (piece < corner.size() && s.spring(corner[piece]) < torque) ++piece;
    const double from = corner[piece == 0 ? 0 : piece - 1];
    return {piece, from + (torque - s.spring(from)) / slope_of_piece(s, piece)};
}

}  // namespace

void bound_switches(long switches, double t) {
    constexpr double at_first = 1e3;
    constexpr double per_second = 1e5;  // true rates of rattling gears are below a tenth of it
    if (static_cast<double>(switches) > at_first + per_second * t) {
        throw std::runtime_error("the gears chatter on the noise of the tolerance");
    }
}

IdleMotion::IdleMotion(const IdleCar& car)
    : car_(car),
      n_(car.gears.size()),
      stages_(car.stages.size()),
      gears_(n_),
      mean_torque_(car.drag()) {  // the engine's mean is what the gearbox takes
    start_.assign(size(), 0.0);
    start_[0] = car.crank_angle;
    for (std::size_t c = 0; c < stages_.size(); ++c) {
        const Carried at = carried(car.stages[c], mean_torque_);
        stages_[c].piece = at.piece;
        stages_[c].rests = at.twist;
        start_[1] += at.twist;
    }
    for (std::size_t i = 0; i < n_; ++i) {
        const LooseGear& g = car.gears[i];
        start_[2 + i] = g.half_gap + (g.drag + g.viscous * g.ratio * car.speed) / g.k;
    }
    for (const Harmonic& h : car.harmonics) {
        // The speed whose fluctuation has no mean.
        const double angle = h.order * car.crank_angle;
        start_[2 + n_] += (h.cosine * std::sin(angle) - h.sine * std::cos(angle)) /
                          (car.engine * h.order * car.speed);
    }
    settle_disc();
}

void IdleMotion::slope(double t, const double* y, double* dy) {
    ++evaluations;
    const double* twist = y + 1;
    const double engine_speed = y[2 + n_];
    const double input = y[3 + n_];
    const double* gear_speed = y + 4 + n_;
    const double twisting = engine_speed - input;
    const double disc = disc_spring(twist[0]) + car_.disc_damping * twisting;
    dy[0] = engine_speed;
    dy[1] = twisting;
    dy[2 + n_] = (engine_torque(car_.speed * t + y[0]) - disc) / car_.engine;
    double on_input = disc - car_.shaft_drag - car_.shaft_viscous * (car_.speed + input);
    for (std::size_t i = 0; i < n_; ++i) {
        const LooseGear& g = car_.gears[i];
        const double rate = g.ratio * input - gear_speed[i];
        double teeth = 0.0;
        if (gears_[i].teeth == Teeth::presses) {
            const double pushes = push(i, gears_[i].face, twist[1 + i], rate);
            teeth = gears_[i].face == 1 ? pushes : -pushes;
        }
        dy[2 + i] = rate;
        dy[4 + n_ + i] =
            (teeth - g.drag - g.viscous * (g.ratio * car_.speed + gear_speed[i])) / g.inertia;
        on_input -= g.ratio * teeth;
    }
    dy[3 + n_] = on_input / car_.input;
}

void IdleMotion::guards(const double* y, double* g) const {
    const double torque = disc_spring(y[1]);
    const double twisting = y[2 + n_] - y[3 + n_];
    for (std::size_t c = 0; c < stages_.size(); ++c) {
        const Stage& s = car_.stages[c];
        const StagePhase& now = stages_[c];
        const std::array<double, 4> corner = corners(s);
        const double twist = (torque - now.b) / now.k;
        *g++ = now.piece > 0 ? twist - corner[now.piece - 1] : 1.0;
        *g++ = now.piece < 4 ? corner[now.piece] - twist : 1.0;
        *g++ = now.washer == Washer::grips      ? s.limit - s.grip * std::abs(twist - now.rests)
               : now.washer == Washer::slips_up ? twisting
                                                : -twisting;
    }
    for (std::size_t i = 0; i < n_; ++i) {
        const double twist = y[2 + i];
        const double rate = car_.gears[i].ratio * y[3 + n_] - y[4 + n_ + i];
        const std::size_t face = gears_[i].face;
        switch (gears_[i].teeth) {
            case Teeth::free:
                *g++ = -penetration(i, 0, twist);
                *g++ = -penetration(i, 1, twist);
                break;
            case Teeth::presses:
                *g++ = push(i, face, twist, rate);
                *g++ = 1.0;
                break;
            case Teeth::parts:
                *g++ = penetration(i, face, twist);
                *g++ = -push(i, face, twist, rate);
                break;
        }
    }
}

void IdleMotion::pass(double t, const double* y, const int* fell,
                      std::vector<Course::Touch>& touches) {
    const double torque = disc_spring(y[1]);
    for (std::size_t c = 0; c < stages_.size(); ++c, fell += 3) {
        const double twist = (torque - stages_[c].b) / stages_[c].k;
        if (fell[0] != 0) leave_piece(c, false);
        if (fell[1] != 0) leave_piece(c, true);
        if (fell[2] != 0) turn_washer(c, twist);
    }
    settle_disc();
    for (std::size_t i = 0; i < n_; ++i, fell += 2) {
        const double rate = car_.gears[i].ratio * y[3 + n_] - y[4 + n_ + i];
        if (fell[0] != 0 || fell[1] != 0) turn_gear(i, fell[0] == 0, t, rate, touches);
    }
}

/// A piece may have no length: a stage without preload has no seat.
void IdleMotion::leave_piece(std::size_t stage, bool upwards) {
    const std::array<double, 4> corner = corners(car_.stages[stage]);
    std::size_t& piece = stages_[stage].piece;
    do {
        piece = upwards ? piece + 1 : piece - 1;
    } while (piece > 0 && piece < 4 && !(corner[piece] > corner[piece - 1]));
}

void IdleMotion::turn_gear(std::size_t gear, bool second, double t, double rate,
                           std::vector<Course::Touch>& touches) {
    GearPhase& now = gears_[gear];
    switch (now.teeth) {
        case Teeth::free:
            now = {.teeth = Teeth::presses, .face = second ? 1U : 0U};
            touches.push_back({.time = t, .speed = std::abs(rate)});
            break;
        case Teeth::presses:
            now.teeth = car_.gears[gear].c > 0.0 ? Teeth::parts : Teeth::free;
            break;
        case Teeth::parts:
            now.teeth = second ? Teeth::presses : Teeth::free;
            break;
    }
}

/// Harmonics by turning (cos, sin) on from one half order to the next.
double IdleMotion::engine_torque(double angle) const {
    const double c1 = std::cos(0.5 * angle);
    const double s1 = std::sin(0.5 * angle);
    double c = 1.0;
    double s = 0.0;
    double order = 0.0;
    double sum = mean_torque_;
    for (const Harmonic& h : car_.harmonics) {
        for (; order < h.order - 0.25; order += 0.5) {
            const double turned = c * c1 - s * s1;
            s = s * c1 + c * s1;
            c = turned;
        }
        sum += h.cosine * c + h.sine * s;
    }
    return sum;
}

void IdleMotion::turn_washer(std::size_t stage, double twist) {
    const Stage& s = car_.stages[stage];
    StagePhase& now = stages_[stage];
    if (now.washer == Washer::grips) {
        now.washer = twist > now.rests ? Washer::slips_up : Washer::slips_down;
        return;
    }
    now.rests = twist - (now.washer == Washer::slips_up ? 1.0 : -1.0) * s.limit / s.grip;
    now.washer = Washer::grips;
}

/// Nothing of mass lies between the stages: T = b_c + k_c·x_c for all of them, Σ x_c = twist.
void IdleMotion::settle_disc() {
    double compliance = 0.0;
    double unloaded = 0.0;
    for (std::size_t c = 0; c < stages_.size(); ++c) {
        const Stage& s = car_.stages[c];
        StagePhase& now = stages_[c];
        const double corner = corners(s)[now.piece == 0 ? 0 : now.piece - 1];
        now.k = slope_of_piece(s, now.piece);
        now.b = s.spring(corner) - now.k * corner;
        if (now.washer == Washer::grips) {
            now.k += s.grip;
            now.b -= s.grip * now.rests;
        } else {
            now.b += now.washer == Washer::slips_up ? s.limit : -s.limit;
        }
        compliance += 1.0 / now.k;
        unloaded += now.b / now.k;
    }
    disc_k_ = 1.0 / compliance;
    disc_b_ = unloaded / compliance;
}

}  // namespace damper::peers
