// SPDX-License-Identifier: MIT
#include "libdamper/driveline/linearise.hpp"

#include "libdamper/driveline/row_vector.hpp"
#include "libdamper/driveline/stacked.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

/// Drag against the ground, and friction between parts that turn past each other, slip: they hold
/// nothing, whatever friction does elsewhere.
bool turns_past(const Branch& branch, const Driveline& line) {
    if (branch.row.size() == 1) return true;
    constexpr double rounding = 1e-9;
    double drift = 0.0;
    double size = 0.0;
    for (const RowEntry& entry : branch.row) {
        const double part =
            entry.factor * line.masses[static_cast<std::size_t>(entry.inertia)].reference_speed;
        drift += part;
        size += std::abs(part);
    }
    return std::abs(drift) > rounding * size;
}

bool ties_speeds(const Branch& branch) {
    return branch.row.size() > 1 &&
           std::all_of(branch.chain.begin(), branch.chain.end(), [](const Cell& cell) {
               return std::all_of(cell.parts.begin(), cell.parts.end(),
                                  [](const Part& part) { return part.law.kind == "viscous"; });
           });
}

/// The driveline without its friction: sliders beside a spring drop out of their cell. With
/// Friction::sticks only those that turn past each other do.
Driveline without_sliders(const Driveline& line, const State& state, Friction friction,
                          State& kept) {
    Driveline out = line;
    kept = state;
    kept.mode.clear();
    kept.memory.clear();
    std::size_t at = 0;
    for (Branch& branch : out.branches) {
        const bool drops = friction == Friction::slips || turns_past(branch, line);
        for (Cell& cell : branch.chain) {
            std::vector<Part> parts;
            for (Part& part : cell.parts) {
                if (part.law.is_friction && drops) {
                    // Slipping carries a constant torque: no stiffness, only its own damping.
                    Part loose = part;
                    loose.law.modes = {
                        {.label = "slipping", .lost_rate = part.law.modes[0].lost_rate}};
                    parts.push_back(loose);
                    kept.mode.push_back(0);
                } else {
                    // A slider that stays sticks where it is.
                    parts.push_back(part);
                    kept.mode.push_back(part.law.is_friction ? 0 : state.mode[at]);
                }
                kept.memory.push_back(state.memory[at]);
                ++at;
            }
            cell.parts = parts;
        }
    }
    return out;
}

}  // namespace

Linearised linearise(const Driveline& line, const State& state, Friction friction) {
    const auto n = static_cast<Eigen::Index>(line.masses.size());
    State at;
    const Driveline used = without_sliders(line, state, friction, at);
    Stacked stacked(used);
    stacked.set(at);

    Linearised out;
    out.mass = Eigen::VectorXd(n);
    for (Eigen::Index i = 0; i < n; ++i) {
        out.mass(i) = line.masses[static_cast<std::size_t>(i)].inertia;
    }
    for (std::size_t b = 0; b < used.branches.size(); ++b) {
        out.elements.push_back({.name = used.branches[b].name,
                                .row = row_vector(used.branches[b].row, n),
                                .stiffness = stacked.branches()[b].spring,
                                .damping = stacked.branches()[b].damping,
                                .ties_speeds = ties_speeds(used.branches[b])});
    }
    for (const SmoothBranch& smooth : line.smooth) {
        double rate = 0.0;
        for (const RowEntry& entry : smooth.row) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            rate += entry.factor * (line.masses[i].reference_speed + state.speed[i]);
        }
        const auto r = static_cast<std::size_t>(smooth.reference);
        const double reference = line.masses[r].reference_speed + state.speed[r];
        out.elements.push_back({.name = smooth.name,
                                .row = row_vector(smooth.row, n),
                                .stiffness = 0.0,
                                .damping = damping(smooth.law, rate, reference),
                                .ties_speeds = smooth.row.size() > 1});
    }
    out.stiffness = Eigen::MatrixXd::Zero(n, n);
    out.damping = Eigen::MatrixXd::Zero(n, n);
    for (const LinearElement& element : out.elements) {
        out.stiffness += element.stiffness * element.row * element.row.transpose();
        out.damping += element.damping * element.row * element.row.transpose();
    }
    return out;
}

}  // namespace damper
