// SPDX-License-Identifier: MIT
#include "libdamper/driveline/resting_friction.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <utility>
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

/// Which elements hold and which slip, changed one by one until no limit is passed and no slip
/// drives the motion.
class Search {
  public:
    Search(const MatrixXd& mass, VectorXd force, const MatrixXd& row, const VectorXd& limit)
        : inverse_(mass.ldlt()),
          force_(std::move(force)),
          column_(row * limit.asDiagonal()),
          weight_(limit.cwiseSqrt()),
          share_(VectorXd::Zero(limit.size())),
          slips_(static_cast<std::size_t>(limit.size()), 0) {}

    /// Shares of those that hold, so that nothing moves past them.
    void hold() {
        std::vector<Index> holding;
        VectorXd left = force_;
        for (Index h = 0; h < share_.size(); ++h) {
            if (slipping(h) == 0) {
                holding.push_back(h);
            } else {
                share_(h) = slipping(h);
                left -= column_.col(h) * share_(h);
            }
        }
        if (!holding.empty()) {
            // In shares weighted with the root of the limit the smallest solution has equal shares.
            const VectorXd weight = weight_(holding);
            const MatrixXd held = column_(Eigen::all, holding) * weight.cwiseInverse().asDiagonal();
            const MatrixXd moved = inverse_.solve(held);
            const VectorXd weighted = (held.transpose() * moved)
                                          .completeOrthogonalDecomposition()
                                          .solve(moved.transpose() * left);
            for (std::size_t i = 0; i < holding.size(); ++i) {
                const auto at = static_cast<Index>(i);
                share_(holding[i]) = weighted(at) / weight(at);
            }
        }
        acceleration_ = inverse_.solve(force_ - column_ * share_);
    }

    /// Lets the most overloaded one slip. False if none is.
    bool give_way() {
        Index worst = -1;
        for (Index h = 0; h < share_.size(); ++h) {
            if (slipping(h) != 0 || !(std::abs(share_(h)) > 1.0 + 1e-12)) continue;
            if (worst < 0 || std::abs(share_(h)) > std::abs(share_(worst))) worst = h;
        }
        if (worst < 0) return false;
        slips_[static_cast<std::size_t>(worst)] = share_(worst) > 0.0 ? 1 : -1;
        return true;
    }

    /// Lets one hold again whose torque would push in the sense of its motion. False if none does.
    bool catch_again() {
        const double scale = 1e-12 * (column_.transpose() * inverse_.solve(force_)).norm();
        for (Index h = 0; h < share_.size(); ++h) {
            if (slipping(h) * column_.col(h).dot(acceleration_) < -scale) {
                slips_[static_cast<std::size_t>(h)] = 0;
                return true;
            }
        }
        return false;
    }

    RestingFriction take() {
        return {.share = share_.cwiseMax(-1.0).cwiseMin(1.0), .acceleration = acceleration_};
    }

  private:
    [[nodiscard]] int slipping(Index h) const { return slips_[static_cast<std::size_t>(h)]; }

    Eigen::LDLT<MatrixXd> inverse_;
    VectorXd force_;
    MatrixXd column_;  ///< What each takes at its limit.
    VectorXd weight_, share_, acceleration_;
    std::vector<int> slips_;
};

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

RestingFriction resting_friction(const MatrixXd& mass, const VectorXd& force, const MatrixXd& row,
                                 const VectorXd& limit) {
    Search search(mass, force, row, limit);
    // Each turn moves one element between holding and slipping; few are needed, and the bound only
    // keeps rounding from going round for ever.
    const Index turns = 10 * (1 + limit.size());
    for (Index turn = 0; turn < turns; ++turn) {
        search.hold();
        if (!search.give_way() && !search.catch_again()) break;
    }
    return search.take();
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
