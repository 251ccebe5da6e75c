// SPDX-License-Identifier: MIT
#include "libdamper/studies/orbit_family.hpp"

#include "libdamper/assemble/assemble.hpp"
#include "libdamper/assemble/engine.hpp"
#include "libdamper/assemble/mounts.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/driveline/steady_state.hpp"
#include "libdamper/elements/spring.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace damper {

namespace {

constexpr double no_torque = 1e-9;

double mean_of(const Assembled& a) {
    for (const Input& input : a.line.inputs) {
        if (const auto* crank = std::get_if<CrankTorque>(&input.source)) return crank->mean;
    }
    return 0.0;
}

/// In neutral or in gear at a speed, and the engine's torque there.
struct Operation {
    Assembled assembled;
    double torque = 0.0;
};

Operation operate(const Scenario& scenario, const OrbitRequest& request, double speed) {
    const Vehicle& vehicle = scenario.vehicle;
    if (request.curve == OperatingCurve::neutral) {
        Idle idle{.speed = AngularSpeed::from_si(speed),
                  .pedal = "up",
                  .settle = {},
                  .length = {},
                  .consumers = {}};
        if (const auto* own = std::get_if<Idle>(&scenario.manoeuvre)) {
            idle.consumers = own->consumers;
        }
        Operation out{.assembled = assemble_idle(vehicle, idle, scenario.conditions)};
        out.torque = mean_of(out.assembled);
        return out;
    }
    const double torque = request.curve == OperatingCurve::pull
                              ? request.load * full_load_torque(vehicle.engine, speed)
                              : -motored_torque(vehicle.engine, speed);
    TorqueChange change;
    change.gear = request.gear;
    change.speed = AngularSpeed::from_si(speed);
    change.from = change.to = Torque::from_si(torque);
    Operation out{.assembled = assemble_in_gear(vehicle, change, scenario.conditions),
                  .torque = torque};
    return out;
}

/// Smooth laws as dampers about the uniform rotation; what they carry there is left to the torque
/// that holds the speed.
void make_linear(Driveline& line) {
    for (const SmoothBranch& smooth : line.smooth) {
        double rate = 0.0;
        for (const RowEntry& e : smooth.row) {
            rate += e.factor * line.masses[static_cast<std::size_t>(e.inertia)].reference_speed;
        }
        const double reference =
            line.masses[static_cast<std::size_t>(smooth.reference)].reference_speed;
        const double c = damping(smooth.law, rate, reference);
        line.branches.push_back({.name = smooth.name,
                                 .kind = kind(smooth.law),
                                 .row = smooth.row,
                                 .damping = 0.0,
                                 .chain = {{{{smooth.name, linear_spring(0.0, c)}}}}});
    }
    line.smooth.clear();
}

/// The teeth of a loose gear stay on the face that its drag holds them to.
void hold(Driveline& line, const State& start, int branch) {
    std::size_t part = 0;
    for (int b = 0; b < branch; ++b) {
        for (const Cell& cell : line.branches[static_cast<std::size_t>(b)].chain) {
            part += cell.parts.size();
        }
    }
    Law& law = line.branches[static_cast<std::size_t>(branch)].chain[0].parts[0].law;
    Mode face = law.modes[static_cast<std::size_t>(start.mode[part])];
    if (face.touch == Touch::none) {
        const auto drive = std::find_if(law.modes.begin(), law.modes.end(),
                                        [](const Mode& m) { return m.touch == Touch::drive; });
        face = *drive;
    }
    face.guards.clear();
    law.modes.assign(law.modes.size(), face);
}

/// Cubic through four neighbours at even spacing; x in 0…1 between b and c.
double cubic(double a, double b, double c, double d, double x) {
    const double slope_b = 0.5 * (c - a);
    const double slope_c = 0.5 * (d - b);
    const double two = 3.0 * (c - b) - 2.0 * slope_b - slope_c;
    const double three = slope_b + slope_c - 2.0 * (c - b);
    return b + x * (slope_b + x * (two + x * three));
}

}  // namespace

OrbitFamily::OrbitFamily(const Scenario& scenario, const OrbitRequest& request) try
    : reference_(0.5 * (request.from + request.to)) {
    const double low = std::min(request.from, request.to);
    const double high = std::max(request.from, request.to);
    if (!(low > 0.0) || !(high > low)) {
        throw InputError("an orbit needs two different engine speeds above 0");
    }
    Operation base = operate(scenario, request, reference_);
    assembled_ = std::move(base.assembled);
    Driveline& line = assembled_.line;
    line.inputs = {{.name = "engine torque",
                    .inertia = assembled_.engine,
                    .source = ConstantTorque{base.torque}}};
    lean_on_power_unit(assembled_);
    start_ = steady_state(line).state;
    start_.speed.assign(line.masses.size(), 0.0);
    const std::size_t linear_from = line.branches.size();
    make_linear(line);
    for (std::size_t b = linear_from; b < line.branches.size(); ++b) {
        for (const Cell& cell : line.branches[b].chain) {
            start_.mode.resize(start_.mode.size() + cell.parts.size(), 0);
            start_.memory.resize(start_.mode.size(), 0.0);
        }
    }
    for (std::size_t b = 0; b < line.branches.size(); ++b) {
        if (line.branches[b].kind != "tyre slip") continue;
        slip_.emplace_back(b, line.branches[b].chain[0].parts[0].law.modes[0].lost_rate);
    }
    if (request.loose_gears == LooseGears::held) {
        for (const Assembled::LooseGear& gear : assembled_.loose_gears) {
            hold(line, start_, gear.branch);
        }
    }
    take_torques(scenario, request);
    take_orders();
} catch (const ModelError& error) {
    throw InputError(fmt::format("this vehicle cannot be run there: {}", error.what()));
}

void OrbitFamily::take_torques(const Scenario& scenario, const OrbitRequest& request) {
    // A step beyond either end, so that every speed of the range has four neighbours.
    const double low = std::min(request.from, request.to);
    const double high = std::max(request.from, request.to);
    const double step = (high - low) / (request.torque_nodes - 3);
    for (int i = 0; i < request.torque_nodes; ++i) {
        const bool alone = request.torque_nodes == 1;
        const double speed = alone ? reference_ : std::max(low + (i - 1) * step, 0.2 * low);
        const double load = operate(scenario, request, speed).torque;
        const double consumers = request.curve == OperatingCurve::neutral &&
                                         std::holds_alternative<Idle>(scenario.manoeuvre)
                                     ? std::get<Idle>(scenario.manoeuvre).consumers.si()
                                     : 0.0;
        node_speeds_.push_back(low + (i - 1) * step);
        // Foot off, the cylinders burn no more than their own losses in compressing; what the
        // overrun torque is larger by than friction, changing the gas takes.
        const Engine& engine = scenario.vehicle.engine;
        const double burnt_for = std::max(load, -engine.friction_torque.si());
        nodes_.push_back(crank_torque(engine, speed, burnt_for, consumers));
        nodes_.back().mean = load;
    }
}

/// The orders that are there at all, and the greatest divisor that they have in common.
void OrbitFamily::take_orders() {
    std::int64_t common = 0;
    double largest = 0.0;
    for (const CrankTorque& node : nodes_) {
        for (const CrankHarmonic& h : node.harmonics) {
            largest = std::max(largest, std::hypot(h.cosine, h.sine));
        }
    }
    for (std::size_t k = 0; k < nodes_[0].harmonics.size(); ++k) {
        double size = 0.0;
        for (const CrankTorque& node : nodes_) {
            size = std::max(size, std::hypot(node.harmonics[k].cosine, node.harmonics[k].sine));
        }
        if (size <= no_torque * largest) continue;
        const double order = nodes_[0].harmonics[k].order;
        orders_.push_back(order);
        common = std::gcd(common, static_cast<std::int64_t>(std::lround(2.0 * order)));
    }
    first_order_ = 0.5 * static_cast<double>(std::max<std::int64_t>(common, 1));
}

CrankTorque OrbitFamily::torque_at(double speed) const {
    if (nodes_.size() == 1) return nodes_.front();
    const double step = node_speeds_[1] - node_speeds_[0];
    const auto last = static_cast<double>(node_speeds_.size()) - 3.0;
    const double place = std::clamp((speed - node_speeds_[0]) / step, 1.0, last);
    const auto i = std::min(static_cast<std::size_t>(place), node_speeds_.size() - 3);
    const double x = (speed - node_speeds_[i]) / step;
    const auto blend = [&](auto value) {
        return cubic(value(nodes_[i - 1]), value(nodes_[i]), value(nodes_[i + 1]),
                     value(nodes_[i + 2]), x);
    };
    CrankTorque out{.mean = blend([](const CrankTorque& t) { return t.mean; }), .harmonics = {}};
    for (std::size_t k = 0; k < nodes_[0].harmonics.size(); ++k) {
        out.harmonics.push_back(
            {.order = nodes_[0].harmonics[k].order,
             .cosine = blend([k](const CrankTorque& t) { return t.harmonics[k].cosine; }),
             .sine = blend([k](const CrankTorque& t) { return t.harmonics[k].sine; })});
    }
    return out;
}

double OrbitFamily::mean_torque(double speed) const {
    return torque_at(speed).mean;
}

PeriodicProblem OrbitFamily::at(double speed) const {
    PeriodicProblem out{.line = assembled_.line, .start = start_};
    const double ratio = speed / reference_;
    for (RotatingMass& mass : out.line.masses) mass.reference_speed *= ratio;
    for (const auto& [branch, damping] : slip_) {
        // The slip coupling is C·r²/v: softer the faster.
        out.line.branches[branch].chain[0].parts[0].law.modes[0].lost_rate = damping / ratio;
    }
    out.line.inputs[0].source = torque_at(speed);
    out.lead = static_cast<std::size_t>(assembled_.engine);
    out.omega = first_order_ * speed;
    out.balanced_at = assembled_.vehicle >= 0 ? assembled_.vehicle : assembled_.engine;
    return out;
}

}  // namespace damper
