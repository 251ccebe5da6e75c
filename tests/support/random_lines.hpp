// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/lash.hpp"
#include "libdamper/elements/slider.hpp"
#include "libdamper/elements/spring.hpp"

#include "tests/support/small_lines.hpp"

#include <random>
#include <string>

namespace damper::test {

/// A driveline drawn by lot: 2…12 inertias in a tree, every kind of element, torques of every kind,
/// and speeds and twists to start with. The same seed gives the same driveline.
struct RandomLine {
    Driveline line;
    State start;
};

/// What may be asked of a random driveline beyond the seed. The seed gives another driveline with
/// other wishes.
struct RandomWishes {
    unsigned fewest = 2, most = 12;  ///< Inertias.
    bool any_torque = false;         ///< Torques drawn by lot, crank harmonics among them.
    bool series_cells = false;       ///< Some elements with a second cell, splines in play.
    bool smooth = true;              ///< Air drag on the last inertia.
};

[[nodiscard]] inline Law random_law(std::mt19937& random) {
    std::uniform_real_distribution<double> any(0.2, 2.0);
    switch (random() % 6) {
        case 0:
            return linear_spring(2000.0 * any(random), 0.5 * any(random));
        case 1:
            return piecewise_spring({{"coast", 4000.0 * any(random)},
                                     {"idle", 60.0 * any(random)},
                                     {"drive", 4000.0 * any(random)}},
                                    {-0.02 * any(random), 0.02 * any(random)});
        case 2:
            return lash({.gap = 0.004 * any(random),
                         .stiffness = 2e4 * any(random),
                         .damping = 1.0 * any(random)});
        case 3:
            return lash({.gap = 0.004 * any(random), .stiffness = 2e4 * any(random)});
        case 4:
            return slider({.limit = 3.0 * any(random), .grip = 3000.0 * any(random)});
        default:
            return slider({.limit = 3.0 * any(random),
                           .grip = 3000.0 * any(random),
                           .play = 0.004 * any(random),
                           .viscous = 0.2 * any(random)});
    }
}

/// A torque of any kind, of some tens of newton metres.
[[nodiscard]] inline TorqueSource random_torque(std::mt19937& random) {
    std::uniform_real_distribution<double> any(0.2, 2.0);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    switch (random() % 6) {
        case 0:
            return ConstantTorque{10.0 * around(random)};
        case 1:
            return TorqueRamp{.from = 5.0 * around(random),
                              .to = 40.0 * around(random),
                              .start = 0.005 * any(random),
                              .rise = 0.005 * any(random)};
        case 2:
            return TorqueRamp{.from = 5.0 * around(random),
                              .to = 40.0 * around(random),
                              .start = 0.005 * any(random),
                              .rise = random() % 2 == 0 ? 0.0 : 0.005 * any(random),
                              .lag = 0.004 * any(random)};
        case 3:
            return SineTorque{.mean = around(random),
                              .amplitude = 30.0 * any(random),
                              .frequency = 200.0 * any(random),
                              .phase = around(random)};
        case 4: {
            CrankTorque crank{.mean = around(random), .harmonics = {}};
            for (int half = 1; half <= 24; ++half) {
                crank.harmonics.push_back({.order = 0.5 * half,
                                           .cosine = 20.0 * around(random) / half,
                                           .sine = 20.0 * around(random) / half});
            }
            return crank;
        }
        default:
            return CrankTorque{.mean = around(random),
                               .harmonics = {{.order = 2.0, .sine = 40.0 * any(random)},
                                             {.order = 4.0, .cosine = 10.0 * around(random)},
                                             {.order = 6.0, .sine = 5.0 * around(random)}}};
    }
}

/// A hub spline in play in series with what else there is: a cell that can be without stiffness.
[[nodiscard]] inline Cell random_spline(const std::string& name, std::mt19937& random) {
    std::uniform_real_distribution<double> any(0.2, 2.0);
    const double half = 0.004 * any(random);
    return {{{name + " spline",
              piecewise_spring({{"coast", 2e4 * any(random)}, {"play", 0.0}, {"drive", 2e4}},
                               {-half, half})}}};
}

[[nodiscard]] inline RandomLine random_line(unsigned seed, const RandomWishes& wishes = {}) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> any(0.2, 2.0);
    std::uniform_real_distribution<double> around(-1.0, 1.0);
    const int count =
        static_cast<int>(wishes.fewest + random() % (wishes.most - wishes.fewest + 1));
    const double turning = wishes.any_torque ? 80.0 : 0.0;
    LineBuilder line;
    for (int i = 0; i < count; ++i)
        line.mass("inertia " + std::to_string(i), 0.1 * any(random), turning);
    for (int i = 1; i < count; ++i) {
        const int partner = static_cast<int>(random() % static_cast<unsigned>(i));
        const std::string name = "element " + std::to_string(i);
        if (wishes.series_cells && random() % 3 == 0) {
            const Cell spring{
                {{name, piecewise_spring({{"coast", 4000.0 * any(random)},
                                          {"idle", 100.0 * any(random)},
                                          {"drive", 4000.0 * any(random)}},
                                         {-0.01 * any(random), 0.01 * any(random)})}}};
            line.chain(name, {{partner, 1.0}, {i, -1.0}}, {random_spline(name, random), spring});
            continue;
        }
        Cell cell{{{name, random_law(random)}}};
        if (random() % 2 == 0) cell.parts.push_back({name + " beside", random_law(random)});
        const double ratio = any(random);
        line.chain(name, {{partner, wishes.any_torque ? 1.0 : ratio}, {i, -1.0}}, {cell});
    }
    line.element("drag", {{0, 1.0}},
                 slider({.limit = any(random), .grip = 1000.0, .viscous = 0.02}));
    if (wishes.any_torque) {
        line.input(0, random_torque(random));
        line.input(count / 2, random_torque(random));
    } else {
        line.input(0, SineTorque{.mean = around(random),
                                 .amplitude = 30.0 * any(random),
                                 .frequency = 60.0 * any(random),
                                 .phase = around(random)});
        line.input(count - 1, TorqueRamp{.from = 0.0,
                                         .to = 20.0 * around(random),
                                         .start = 0.05,
                                         .rise = 0.05,
                                         .lag = 0.02});
    }
    RandomLine out{line.done(), {}};
    // A row that couples more than two: an open differential of sorts.
    if (count > 3) {
        out.line.branches.push_back({.name = "three at once",
                                     .kind = "test",
                                     .row = {{0, 1.0}, {1, -0.5}, {2, -0.5}},
                                     .damping = 0.1,
                                     .chain = {{{{"three at once", linear_spring(500.0, 0.0)}}}}});
    }
    if (wishes.smooth) {
        out.line.smooth.push_back(
            {.name = "air",
             .row = {{count - 1, 1.0}},
             .reference = count - 1,
             .law = RoadLoad{.rolling = 0.2, .grade = 0.0, .air = 1e-3, .standstill = 0.5}});
    }
    out.start = start_state(out.line);
    for (double& speed : out.start.speed) speed = 5.0 * around(random);
    return out;
}

}  // namespace damper::test
