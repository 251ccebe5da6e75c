// SPDX-License-Identifier: MIT
#pragma once

#include "tests/support/random_lines.hpp"

#include <algorithm>
#include <string>
#include <utility>
#include <variant>

namespace damper::test {

/// f(torques) of a source, harmonic by harmonic.
template <class Change>
[[nodiscard]] TorqueSource changed_torque(TorqueSource source, Change&& change) {
    if (auto* constant = std::get_if<ConstantTorque>(&source)) change(constant->torque);
    if (auto* ramp = std::get_if<TorqueRamp>(&source)) {
        change(ramp->from);
        change(ramp->to);
    }
    if (auto* sine = std::get_if<SineTorque>(&source)) {
        change(sine->mean);
        change(sine->amplitude);
    }
    if (auto* crank = std::get_if<CrankTorque>(&source)) {
        change(crank->mean);
        for (CrankHarmonic& h : crank->harmonics) {
            change(h.cosine);
            change(h.sine);
        }
    }
    return source;
}

/// The mirror image: all angles, speeds and torques negated, drive and coast changed over.
[[nodiscard]] inline RandomLine mirrored(RandomLine random) {
    for (RotatingMass& mass : random.line.masses) mass.reference_speed *= -1.0;
    for (auto* list : {&random.start.angle, &random.start.speed, &random.start.memory}) {
        for (double& x : *list) x = -x;
    }
    for (Branch& branch : random.line.branches) {
        for (Cell& cell : branch.chain) {
            for (Part& part : cell.parts) {
                for (Mode& mode : part.law.modes) {
                    mode.rest *= -1.0;
                    mode.lost *= -1.0;
                    for (Guard& guard : mode.guards) {
                        guard.value.twist *= -1.0;
                        guard.value.rate *= -1.0;
                        guard.value.memory *= -1.0;
                        guard.reset.offset *= -1.0;
                    }
                }
            }
        }
    }
    for (SmoothBranch& smooth : random.line.smooth) {
        if (auto* road = std::get_if<RoadLoad>(&smooth.law)) road->grade *= -1.0;
    }
    const auto negate = [](double& x) { x = -x; };
    for (Input& input : random.line.inputs) {
        auto* crank = std::get_if<CrankTorque>(&input.source);
        if (crank == nullptr) {
            input.source = changed_torque(input.source, negate);
        } else {  // over an angle that is negated: cosines negate, sines do so twice
            negate(crank->mean);
            for (CrankHarmonic& h : crank->harmonics) negate(h.cosine);
        }
    }
    return random;
}

/// Every inertia, stiffness, damping, friction and torque times `factor`: the same motion.
[[nodiscard]] inline RandomLine scaled(RandomLine random, double factor) {
    for (RotatingMass& mass : random.line.masses) mass.inertia *= factor;
    for (Branch& branch : random.line.branches) {
        branch.damping *= factor;
        for (Cell& cell : branch.chain) {
            for (Part& part : cell.parts) {
                for (Mode& mode : part.law.modes) {
                    for (double* x :
                         {&mode.spring, &mode.energy_offset, &mode.lost, &mode.lost_rate}) {
                        *x *= factor;
                    }
                }
            }
        }
    }
    for (SmoothBranch& smooth : random.line.smooth) {
        auto& road = std::get<RoadLoad>(smooth.law);
        for (double* x : {&road.rolling, &road.grade, &road.air}) *x *= factor;
    }
    for (Input& input : random.line.inputs) {
        input.source = changed_torque(input.source, [factor](double& x) { x *= factor; });
    }
    return random;
}

/// The same line told backwards: last inertia first, last element first, every row from its end.
[[nodiscard]] inline RandomLine turned_round(RandomLine random) {
    Driveline& line = random.line;
    const int last = static_cast<int>(line.masses.size()) - 1;
    std::reverse(line.masses.begin(), line.masses.end());
    std::reverse(line.branches.begin(), line.branches.end());
    std::reverse(line.inputs.begin(), line.inputs.end());
    for (Branch& branch : line.branches) {
        for (RowEntry& entry : branch.row) entry.inertia = last - entry.inertia;
        std::reverse(branch.row.begin(), branch.row.end());
    }
    for (SmoothBranch& smooth : line.smooth) {
        for (RowEntry& entry : smooth.row) entry.inertia = last - entry.inertia;
        smooth.reference = last - smooth.reference;
    }
    for (Input& input : line.inputs) input.inertia = last - input.inertia;
    State start = start_state(line);
    start.angle = random.start.angle;
    start.speed = random.start.speed;
    std::reverse(start.angle.begin(), start.angle.end());
    std::reverse(start.speed.begin(), start.speed.end());
    random.start = start;
    return random;
}

/// Springs and dampers only, and torques that do not look at angles.
[[nodiscard]] inline RandomLine linear_line(unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> any(0.2, 2.0);
    const int count = 2 + static_cast<int>(random() % 12);
    LineBuilder line;
    for (int i = 0; i < count; ++i) line.mass("inertia " + std::to_string(i), 0.1 * any(random));
    for (int i = 1; i < count; ++i) {
        const int partner = static_cast<int>(random() % static_cast<unsigned>(i));
        line.element("spring " + std::to_string(i), {{partner, any(random)}, {i, -1.0}},
                     linear_spring(4000.0 * any(random), 0.5 * any(random)));
    }
    line.input(0, SineTorque{.amplitude = 20.0 * any(random), .frequency = 300.0 * any(random)});
    line.input(count - 1, TorqueRamp{.to = 10.0, .start = 0.01, .rise = 0.01, .lag = 0.004});
    RandomLine out{line.done(), {}};
    out.start = start_state(out.line);
    for (double& speed : out.start.speed) speed = any(random);
    return out;
}

/// Springs with corners and undamped contacts: no loss anywhere, no torque from outside.
[[nodiscard]] inline RandomLine lossless_line(unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> any(0.2, 2.0);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    const int count = 2 + static_cast<int>(random() % 6);
    LineBuilder line;
    for (int i = 0; i < count; ++i) line.mass("inertia " + std::to_string(i), 0.1 * any(random));
    for (int i = 1; i < count; ++i) {
        const int partner = static_cast<int>(random() % static_cast<unsigned>(i));
        const std::string name = "element " + std::to_string(i);
        const Law law = random() % 2 == 0
                            ? lash({.gap = 0.02 * any(random), .stiffness = 2e4 * any(random)})
                            : piecewise_spring({{"coast", 4000.0 * any(random)},
                                                {"idle", 60.0 * any(random)},
                                                {"drive", 4000.0 * any(random)}},
                                               {-0.02 * any(random), 0.02 * any(random)});
        line.element(name, {{partner, any(random)}, {i, -1.0}}, law);
    }
    RandomLine out{line.done(), {}};
    out.start = start_state(out.line);
    for (double& speed : out.start.speed) speed = 3.0 * around(random);
    return out;
}

}  // namespace damper::test
