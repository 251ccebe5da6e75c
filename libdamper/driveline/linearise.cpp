// SPDX-License-Identifier: MIT
#include "libdamper/driveline/linearise.hpp"

#include "libdamper/driveline/row_vector.hpp"
#include "libdamper/driveline/stacked.hpp"

#include <utility>

namespace damper {

namespace {

/// Drag against the ground slips: it holds nothing, whatever friction does elsewhere.
bool is_ground(const Branch& branch) {
    return branch.row.size() == 1;
}

/// The driveline without its friction: sliders beside a spring drop out of their cell. With
/// Friction::sticks only those against the ground do.
Driveline without_sliders(const Driveline& line, const State& state, Friction friction,
                          State& kept) {
    Driveline out = line;
    kept = state;
    kept.mode.clear();
    kept.memory.clear();
    std::size_t at = 0;
    for (Branch& branch : out.branches) {
        const bool drops = friction == Friction::slips || is_ground(branch);
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

void add(Linearised& out, LinearElement element) {
    out.stiffness += element.spring * element.row * element.row.transpose();
    out.damping += element.damping * element.row * element.row.transpose();
    out.elements.push_back(std::move(element));
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
    out.stiffness = Eigen::MatrixXd::Zero(n, n);
    out.damping = Eigen::MatrixXd::Zero(n, n);
    for (std::size_t b = 0; b < used.branches.size(); ++b) {
        const Stacked::BranchNow& now = stacked.branches()[b];
        add(out, {row_vector(used.branches[b].row, n), now.spring, now.damping});
    }
    for (const SmoothBranch& smooth : line.smooth) {
        double rate = 0.0;
        for (const RowEntry& entry : smooth.row) {
            const auto i = static_cast<std::size_t>(entry.inertia);
            rate += entry.factor * (line.masses[i].reference_speed + state.speed[i]);
        }
        const auto r = static_cast<std::size_t>(smooth.reference);
        add(out, {row_vector(smooth.row, n), 0.0,
                  damping(smooth.law, rate, line.masses[r].reference_speed + state.speed[r])});
    }
    return out;
}

void replace_element(Linearised& linear, std::size_t element, double spring, double damping) {
    LinearElement& one = linear.elements.at(element);
    linear.stiffness += (spring - one.spring) * one.row * one.row.transpose();
    linear.damping += (damping - one.damping) * one.row * one.row.transpose();
    one.spring = spring;
    one.damping = damping;
}

}  // namespace damper
