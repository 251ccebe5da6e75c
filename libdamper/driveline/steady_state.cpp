// SPDX-License-Identifier: MIT
#include "libdamper/driveline/steady_state.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/resting_friction.hpp"
#include "libdamper/driveline/row_vector.hpp"
#include "libdamper/elements/slider.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>

namespace damper {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int rounds_at_most = 60;  // each brings about two digits more

bool holds_torque(const Branch& branch) {
    return std::any_of(branch.chain.begin(), branch.chain.end(), [](const Cell& cell) {
        return std::any_of(cell.parts.begin(), cell.parts.end(), [](const Part& part) {
            return !part.law.is_friction && part.law.kind != "viscous";
        });
    });
}

/// Damping of a branch that ties inertias by their speeds alone.
double pure_damping(const Branch& branch) {
    double sum = branch.damping;
    for (const Cell& cell : branch.chain) {
        for (const Part& part : cell.parts) sum += part.law.modes[0].lost_rate;
    }
    return sum;
}

bool is_pure_damper(const Branch& branch) {
    return std::all_of(branch.chain.begin(), branch.chain.end(), [](const Cell& cell) {
        return std::all_of(cell.parts.begin(), cell.parts.end(),
                           [](const Part& part) { return part.law.kind == "viscous"; });
    });
}

/// An element that makes its inertias move together in a steady state.
struct Tie {
    VectorXd row;
    std::optional<std::size_t> branch;
    std::optional<std::size_t> smooth;
    bool by_speed = false;  ///< Torque follows from a difference of speeds, not of angles.
};

/// Friction that does not slip: nothing turns past it yet.
struct Hold {
    VectorXd row;
    std::size_t branch = 0;
    double limit = 0.0;  ///< [N m]
    double share = 0.0;  ///< Of its limit, −1…1
};

class Solve {
  public:
    explicit Solve(const Driveline& line) : line_(line), n_(line.masses.size()) {
        check(line);
        out_.state = start_state(line);
        out_.acceleration.assign(n_, 0.0);
        out_.torque.assign(line.branches.size(), 0.0);
        out_.smooth_torque.assign(line.smooth.size(), 0.0);
        reference_ = VectorXd(static_cast<Index>(n_));
        inertia_ = VectorXd(static_cast<Index>(n_));
        for (std::size_t i = 0; i < n_; ++i) {
            reference_(static_cast<Index>(i)) = line.masses[i].reference_speed;
            inertia_(static_cast<Index>(i)) = line.masses[i].inertia;
        }
        omega_ = reference_;
    }

    SteadyState run() {
        // Slip makes speeds differ from their references, and drag and slip follow the speeds.
        for (int i = 0; !speeds_settled(); ++i) {
            if (i > rounds_at_most) {
                throw ModelError("the steady speeds of this driveline do not settle");
            }
            collect();
            accelerate();
            share_torques();
            set_speeds();
        }
        set_angles();
        grip();
        give_fluctuation_its_speed();
        return std::move(out_);
    }

  private:
    /// Takes over the speeds found; true once they repeat themselves.
    bool speeds_settled() {
        if (!looked_) {
            looked_ = true;
            return false;
        }
        VectorXd next = reference_;
        for (std::size_t i = 0; i < n_; ++i) next(static_cast<Index>(i)) += out_.state.speed[i];
        const double moved = (next - omega_).cwiseAbs().maxCoeff();
        omega_ = next;
        return moved <= 1e-13 * (1.0 + next.cwiseAbs().maxCoeff());
    }

    void collect() {
        force_ = VectorXd::Zero(static_cast<Index>(n_));
        ties_.clear();
        first_part_.clear();
        holds_.clear();
        for (const Input& input : line_.inputs) {
            const VectorXd row = row_vector(input.row(), static_cast<Index>(n_));
            force_ += row * mean_torque(input.source, row.dot(omega_));
        }
        std::size_t part = 0;
        for (std::size_t b = 0; b < line_.branches.size(); ++b) {
            const Branch& branch = line_.branches[b];
            first_part_.push_back(part);
            for (const Cell& cell : branch.chain) part += cell.parts.size();
            const VectorXd g = row_vector(branch.row, static_cast<Index>(n_));
            // A spring against the ground holds its inertia, a damper only brakes it.
            const bool tied =
                holds_torque(branch) || (branch.row.size() > 1 && is_pure_damper(branch));
            if (tied) {
                ties_.push_back(
                    {.row = g, .branch = b, .smooth = {}, .by_speed = !holds_torque(branch)});
            } else if (const double limit = holding_limit(branch);
                       limit > 0.0 && g.dot(reference_) == 0.0) {
                holds_.push_back({.row = g, .branch = b, .limit = limit});
            } else {
                slip(branch, b, g);
            }
        }
        for (std::size_t s = 0; s < line_.smooth.size(); ++s) {
            const SmoothBranch& smooth = line_.smooth[s];
            const VectorXd g = row_vector(smooth.row, static_cast<Index>(n_));
            if (smooth.row.size() > 1) {
                ties_.push_back({.row = g, .branch = {}, .smooth = s, .by_speed = true});
            } else {
                out_.smooth_torque[s] = torque(smooth.law, g.dot(omega_), omega_(smooth.reference));
                force_ -= g * out_.smooth_torque[s];
            }
        }
    }

    /// Friction and damping against the ground or between parts that turn past each other.
    void slip(const Branch& branch, std::size_t b, const VectorXd& g) {
        const double rate = g.dot(omega_);
        const double sense = g.dot(reference_);
        double total = branch.damping * rate;
        std::size_t part = first_part_[b];
        for (const Cell& cell : branch.chain) {
            for (const Part& p : cell.parts) {
                if (p.law.is_friction && sense != 0.0) {
                    // Modes 1 and 2 of a friction law: slipping up and down.
                    out_.state.mode[part] = sense > 0.0 ? 1 : 2;
                }
                const Mode& mode = p.law.modes[static_cast<std::size_t>(out_.state.mode[part])];
                total += mode.lost + mode.lost_rate * rate;
                ++part;
            }
        }
        out_.torque[b] = total;
        force_ -= g * total;
    }

    /// Rigid-body motion: the null space of all ties, and what friction leaves of it.
    void accelerate() {
        const auto n = static_cast<Index>(n_);
        const double largest = force_.cwiseAbs().maxCoeff();
        MatrixXd tied(static_cast<Index>(ties_.size()), n);
        for (std::size_t t = 0; t < ties_.size(); ++t)
            tied.row(static_cast<Index>(t)) = ties_[t].row;
        const MatrixXd basis = ties_.empty() ? MatrixXd::Identity(n, n)
                                             : MatrixXd(Eigen::FullPivLU<MatrixXd>(tied).kernel());
        const MatrixXd mass = basis.transpose() * inertia_.asDiagonal() * basis;
        VectorXd a = VectorXd::Zero(n);
        if (basis.norm() > 0.0) {
            const auto count = static_cast<Index>(holds_.size());
            MatrixXd row(basis.cols(), count);
            VectorXd limit(count);
            for (Index h = 0; h < count; ++h) {
                const Hold& hold = holds_[static_cast<std::size_t>(h)];
                row.col(h) = basis.transpose() * hold.row;
                limit(h) = hold.limit;
            }
            const RestingFriction rest =
                resting_friction(mass, basis.transpose() * force_, row, limit);
            a = basis * rest.acceleration;
            for (std::size_t h = 0; h < holds_.size(); ++h) {
                Hold& hold = holds_[h];
                hold.share = rest.share(static_cast<Index>(h));
                out_.torque[hold.branch] = hold.share * hold.limit;
                force_ -= hold.row * out_.torque[hold.branch];
            }
        }
        // A balanced state stays balanced: rounding is not an acceleration.
        const double scale = largest / inertia_.sum();
        for (Index i = 0; i < n; ++i) {
            if (std::abs(a(i)) < 1e-13 * scale) a(i) = 0.0;
            out_.acceleration[static_cast<std::size_t>(i)] = a(i);
        }
        net_ = force_ - inertia_.cwiseProduct(a);
    }

    void share_torques() {
        if (ties_.empty()) return;
        MatrixXd g(static_cast<Index>(n_), static_cast<Index>(ties_.size()));
        for (std::size_t t = 0; t < ties_.size(); ++t) g.col(static_cast<Index>(t)) = ties_[t].row;
        const VectorXd tau = g.completeOrthogonalDecomposition().solve(net_);
        const double scale = 1.0 + net_.cwiseAbs().maxCoeff();
        if ((g * tau - net_).cwiseAbs().maxCoeff() > 1e-8 * scale) {
            throw ModelError("the steady torques of this driveline do not balance");
        }
        for (std::size_t t = 0; t < ties_.size(); ++t) {
            double value = tau(static_cast<Index>(t));
            if (std::abs(value) < 1e-12 * scale) value = 0.0;
            if (ties_[t].branch) out_.torque[*ties_[t].branch] = value;
            if (ties_[t].smooth) out_.smooth_torque[*ties_[t].smooth] = value;
        }
    }

    /// Rate at which a tie by speed carries its torque.
    [[nodiscard]] double rate_for(const Tie& tie) const {
        if (tie.branch) {
            return out_.torque[*tie.branch] / pure_damping(line_.branches[*tie.branch]);
        }
        const SmoothBranch& smooth = line_.smooth[*tie.smooth];
        const double wanted = out_.smooth_torque[*tie.smooth];
        const double reference = omega_(smooth.reference);
        double rate = 0.0;
        for (int i = 0; i < 100; ++i) {  // Newton from the linear range; the slope never vanishes
            const double miss = torque(smooth.law, rate, reference) - wanted;
            if (std::abs(miss) <= 1e-13 * (1.0 + std::abs(wanted))) return rate;
            rate -= miss / damping(smooth.law, rate, reference);
            if (!std::isfinite(rate)) break;
        }
        throw ModelError("\"" + smooth.name + "\" cannot carry the steady torque asked of it");
    }

    void set_speeds() {
        solve_rows(
            [&](const Tie& tie) {
                return !tie.by_speed ? 0.0 : rate_for(tie) - tie.row.dot(reference_);
            },
            [](const Tie&) { return true; }, out_.state.speed);
    }

    void set_angles() {
        solve_rows(
            [&](const Tie& tie) {
                return settle(line_.branches[*tie.branch], out_.torque[*tie.branch], out_.state,
                              first_part_[*tie.branch]);
            },
            [](const Tie& tie) { return !tie.by_speed; }, out_.state.angle);
    }

    void grip() {
        for (const Hold& hold : holds_) {
            double twist = 0.0;
            for (std::size_t i = 0; i < n_; ++i) {
                twist += hold.row(static_cast<Index>(i)) * out_.state.angle[i];
            }
            grip_with(line_.branches[hold.branch], hold.share, twist, out_.state,
                      first_part_[hold.branch]);
        }
    }

    template <typename Right, typename Takes>
    void solve_rows(Right right, Takes takes, std::vector<double>& into) {
        std::vector<const Tie*> used;
        for (const Tie& tie : ties_) {
            if (takes(tie)) used.push_back(&tie);
        }
        if (used.empty()) return;
        MatrixXd g(static_cast<Index>(used.size()), static_cast<Index>(n_));
        VectorXd rhs(static_cast<Index>(used.size()));
        for (std::size_t t = 0; t < used.size(); ++t) {
            g.row(static_cast<Index>(t)) = used[t]->row;
            rhs(static_cast<Index>(t)) = right(*used[t]);
        }
        const VectorXd x = g.completeOrthogonalDecomposition().solve(rhs);
        if ((g * x - rhs).cwiseAbs().maxCoeff() > 1e-9 * (1.0 + rhs.cwiseAbs().maxCoeff())) {
            throw ModelError("the twists of this driveline do not fit together in a steady state");
        }
        for (std::size_t i = 0; i < n_; ++i) into[i] = x(static_cast<Index>(i));
    }

    void give_fluctuation_its_speed() {
        for (const Input& input : line_.inputs) {
            const auto i = static_cast<std::size_t>(input.inertia);
            const double speed = line_.masses[i].reference_speed;
            if (speed == 0.0) continue;
            const auto* over_speed = std::get_if<SpeedTorque>(&input.source);
            const auto* crank = std::get_if<CrankTorque>(&input.source);
            if (crank == nullptr && over_speed == nullptr) continue;
            const CrankTorque torque = crank != nullptr ? *crank : over_speed->at(0.0, speed);
            const std::vector<RowEntry> row = input.row();
            double at = 0.0;
            for (const RowEntry& entry : row) {
                at += entry.factor * out_.state.angle[static_cast<std::size_t>(entry.inertia)];
            }
            for (const CrankHarmonic& h : torque.harmonics) {
                const double angle = h.order * at;
                for (const RowEntry& entry : row) {
                    const auto k = static_cast<std::size_t>(entry.inertia);
                    out_.state.speed[k] += entry.factor *
                                           (h.cosine * std::sin(angle) - h.sine * std::cos(angle)) /
                                           (line_.masses[k].inertia * h.order * speed);
                }
            }
        }
    }

    const Driveline& line_;
    std::size_t n_;
    SteadyState out_;
    std::vector<std::size_t> first_part_;
    std::vector<Tie> ties_;
    bool looked_ = false;
    std::vector<Hold> holds_;
    VectorXd force_, reference_, omega_, inertia_, net_;
};

bool valid_at(const Mode& mode, double delta) {
    return std::all_of(mode.guards.begin(), mode.guards.end(), [&](const Guard& guard) {
        const double size = std::abs(guard.value.offset) + std::abs(guard.value.twist * delta);
        return guard.value.at(delta, 0.0, 0.0) >= -1e-12 * size;
    });
}

/// Mode and twist at which a law without memory carries `torque` at rest.
double invert(const Part& part, double torque, int& mode) {
    const Law& law = part.law;
    const auto count = static_cast<int>(law.modes.size());
    for (int i = 0; i < count; ++i) {
        const int m = (law.start + i) % count;  // the start mode first: it holds zero torque
        const Mode& candidate = law.modes[static_cast<std::size_t>(m)];
        double delta = 0.0;
        if (candidate.spring > 0.0) {
            delta = candidate.rest + (torque - candidate.lost) / candidate.spring;
        } else if (torque != candidate.lost) {
            continue;
        }
        if (valid_at(candidate, delta)) {
            mode = m;
            return delta;
        }
    }
    throw ModelError("\"" + part.name + "\" cannot hold a steady torque");
}

}  // namespace

double settle(const Branch& branch, double torque, State& state, std::size_t first_part) {
    double twist = 0.0;
    std::size_t at = first_part;
    for (const Cell& cell : branch.chain) {
        const auto holder = std::find_if(cell.parts.begin(), cell.parts.end(),
                                         [](const Part& p) { return !p.law.is_friction; });
        const auto holders = std::count_if(cell.parts.begin(), cell.parts.end(),
                                           [](const Part& p) { return !p.law.is_friction; });
        if (holders != 1) {
            throw ModelError("a cell of \"" + branch.name +
                             "\" needs exactly one part that holds a torque at rest");
        }
        const auto place = static_cast<std::size_t>(holder - cell.parts.begin());
        const double own = invert(*holder, torque, state.mode[at + place]);
        for (std::size_t p = 0; p < cell.parts.size(); ++p) {
            if (cell.parts[p].law.is_friction) {
                state.mode[at + p] = cell.parts[p].law.start;
                state.memory[at + p] = own;
            }
        }
        twist += own;
        at += cell.parts.size();
    }
    return twist;
}

namespace {

/// The line with what its faces do at the start in the place of the faces. Slipping ones are a
/// torque. Stuck ones hold: against the ground they take whatever else acts on their inertia.
Driveline with_faces_as_they_are(const Driveline& line) {
    Driveline out = line;
    out.faces.clear();
    const std::vector<double> still(line.masses.size(), 0.0);
    const std::vector<Rubbing> rubbing = rubbing_at(line, still);
    for (std::size_t f = 0; f < line.faces.size(); ++f) {
        const FaceBranch& faces = line.faces[f];
        const double modulation = modulation_of(line, faces, 0.0, still.data());
        if (rubbing[f] != Rubbing::sticking) {
            const double torque = slip_torque(faces.law, rubbing[f], 0.0,
                                              rate_of(line, faces.row, still.data()), modulation);
            for (const RowEntry& entry : faces.row) {
                out.inputs.push_back({.name = faces.name,
                                      .inertia = entry.inertia,
                                      .source = ConstantTorque{-entry.factor * torque}});
            }
            continue;
        }
        const double limit = holds_down(faces.law, 0.0, modulation);
        if (!(limit > 0.0)) continue;
        if (faces.row.size() == 1) {
            std::erase_if(out.smooth, [&](const SmoothBranch& smooth) {
                return smooth.row.size() == 1 &&
                       smooth.row.front().inertia == faces.row.front().inertia;
            });
        }
        constexpr double give = 1e-3;  // rad; only the torque of what holds counts here
        Branch hold{
            .name = faces.name, .kind = "faces", .row = faces.row, .damping = 0.0, .chain = {}};
        hold.chain.push_back({{{faces.name, slider({.limit = limit, .grip = limit / give})}}});
        out.branches.push_back(std::move(hold));
    }
    return out;
}

}  // namespace

SteadyState steady_state(const Driveline& line) {
    if (line.faces.empty()) return Solve(line).run();
    check(line);
    const Driveline start = with_faces_as_they_are(line);
    SteadyState steady = Solve(start).run();
    steady.state.mode.resize(line.part_count());
    steady.state.memory.resize(line.part_count());
    steady.torque.resize(line.branches.size());
    steady.smooth_torque.assign(line.smooth.size(), 0.0);
    steady.state.rubbing = rubbing_at(line, std::vector<double>(line.masses.size(), 0.0));
    return steady;
}

}  // namespace damper
