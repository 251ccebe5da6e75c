// SPDX-License-Identifier: MIT
#include "libdamper/driveline/resting_friction.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace damper {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

enum Slipping : int { upwards = 1, downwards = 2 };  // modes of every friction law

/// Mode and memory in which one friction law carries `torque` at rest at `twist`.
void grip(const Law& law, double torque, double twist, int& mode, double& memory) {
    for (std::size_t m = 0; m < law.modes.size(); ++m) {
        const Mode& candidate = law.modes[m];
        if (!(candidate.spring > 0.0)) continue;
        const double rests = twist - candidate.rest - torque / candidate.spring;
        // A law with play grips upwards with one mode and downwards with another.
        const bool held =
            std::all_of(candidate.guards.begin(), candidate.guards.end(), [&](const Guard& guard) {
                return guard.value.at(twist, 0.0, rests) >= -1e-9 * (1.0 + std::abs(torque));
            });
        if (!held) continue;
        mode = static_cast<int>(m);
        memory = rests;
        return;
    }
    throw ModelError("friction cannot grip with the torque that holds the driveline at rest");
}

}  // namespace

double holding_limit(const Branch& branch) {
    double sum = 0.0;
    for (const Cell& cell : branch.chain) {
        for (const Part& part : cell.parts) {
            if (part.law.is_friction) sum += part.law.modes[upwards].lost;
        }
    }
    if (sum > 0.0 && branch.chain.size() != 1) {
        throw ModelError("\"" + branch.name + "\": friction alone needs a single cell");
    }
    return sum;
}

RestingFriction resting_friction(const MatrixXd& mass, const VectorXd& force,
                                 const MatrixXd& limit) {
    RestingFriction out;
    out.share = VectorXd::Zero(limit.cols());
    const Eigen::LDLT<MatrixXd> inverse = mass.ldlt();
    VectorXd left = force;  // what the friction that holds must balance
    std::vector<Index> holding;
    for (Index h = 0; h < limit.cols(); ++h) holding.push_back(h);
    while (!holding.empty()) {
        const MatrixXd held = limit(Eigen::all, holding);
        const MatrixXd moved = inverse.solve(held);
        const VectorXd share = (held.transpose() * moved)
                                   .completeOrthogonalDecomposition()
                                   .solve(moved.transpose() * left);
        std::vector<Index> still;
        for (std::size_t i = 0; i < holding.size(); ++i) {
            const Index h = holding[i];
            out.share(h) = std::clamp(share(static_cast<Index>(i)), -1.0, 1.0);
            if (std::abs(share(static_cast<Index>(i))) <= 1.0) {
                still.push_back(h);
            } else {
                left -= limit.col(h) * out.share(h);
            }
        }
        if (still.size() == holding.size()) break;
        holding = std::move(still);
    }
    out.acceleration = inverse.solve(force - limit * out.share);
    return out;
}

void grip_with(const Branch& branch, double share, double twist, State& state,
               std::size_t first_part) {
    std::size_t at = first_part;
    for (const Part& part : branch.chain.front().parts) {
        if (part.law.is_friction) {
            if (std::abs(share) >= 1.0) {
                state.mode[at] = share > 0.0 ? upwards : downwards;
            } else if (share != 0.0) {
                grip(part.law, share * part.law.modes[upwards].lost, twist, state.mode[at],
                     state.memory[at]);
            } else {
                state.mode[at] = part.law.start;
                state.memory[at] = twist;
            }
        }
        ++at;
    }
}

}  // namespace damper
