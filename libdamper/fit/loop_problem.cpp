// SPDX-License-Identifier: MIT
#include "libdamper/fit/loop_problem.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace damper {

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double usual_grip = 40.0;
constexpr double grip_spread = 0.9;   // of its logarithm: a factor of 2.5
constexpr double drift_share = 0.05;  // of the torque range, that a drift may make in a loop
constexpr double least_width = 0.02 * degree;
constexpr double least_error = 1e-5;  // of the torque range: nothing is known better
constexpr double difference = 1e-6;   // for derivatives, of the size of an unknown

using Kind = LoopProblem::Kind;

bool is_logarithm(Kind kind) {
    return kind == Kind::drive_stiffness || kind == Kind::coast_stiffness ||
           kind == Kind::both_stiffness || kind == Kind::stop_stiffness || kind == Kind::grip;
}

/// Weight of each knot of the drift at a place of the run.
double hat(std::size_t knot, std::size_t knots, double position) {
    if (knots == 1) return 1.0;
    const double at = position * static_cast<double>(knots - 1);
    return std::max(0.0, 1.0 - std::abs(at - static_cast<double>(knot)));
}

}  // namespace

std::vector<double> group_errors(const GroupedRun& run, const std::vector<PathMeans::Mean>& law) {
    std::vector<double> out;
    const double least = least_error * run.torque_range;
    for (std::size_t g = 0; g < run.groups.size(); ++g) {
        const double by_twist = law[g].slope * run.twist_noise;
        const double square = run.torque_noise * run.torque_noise + by_twist * by_twist;
        out.push_back(std::sqrt(square / run.groups[g].samples + least * least));
    }
    return out;
}

LoopProblem::LoopProblem(const std::vector<GroupedRun>& runs, const BenchErrors& errors,
                         const LoopShape& start, double zero_twist, const LoopReach& reach,
                         const LoopExtras& extras)
    : runs_(runs), errors_(errors), base_(start), reach_(reach), extras_(extras) {
    double low = runs.front().low, high = runs.front().high, torque_range = 0.0;
    for (const GroupedRun& run : runs) {
        low = std::min(low, run.low);
        high = std::max(high, run.high);
        torque_range = std::max(torque_range, run.torque_range);
        groups_ += run.groups.size();
    }
    const double range = high - low;
    for (std::size_t s = 0; s < base_.stages.size(); ++s) add_stage(s, range, torque_range);
    const auto stages = static_cast<int>(base_.stages.size());
    if (reach.drive > stages || reach.coast > stages) {
        const double stop = std::log(base_.stop_stiffness);
        add(Kind::stop_stiffness, 0, stop, stop - 2.0, stop + 3.0);
    }
    base_.grip = base_.grip > 0.0 ? base_.grip : usual_grip;
    grip_ = static_cast<Eigen::Index>(unknowns_.size());
    add(Kind::grip, 0, std::log(base_.grip), std::log(2.0), std::log(1000.0));
    if (extras.play) {
        add(Kind::play, 0, std::max(base_.play, 0.2 * degree), 0.0, 0.5 * range);
    } else {
        base_.play = 0.0;
    }
    add(Kind::zero_twist, 0, zero_twist, low, high);
    for (std::size_t r = 0; r < runs.size(); ++r) {
        const auto loops = static_cast<std::size_t>(std::max(runs[r].loops, 1));
        // One loop alone does not tell a drift from its friction.
        knots_.push_back(loops > 1 ? std::min<std::size_t>(loops + 1, 12) : 1);
        first_knot_.push_back(unknowns_.size());
        for (std::size_t k = 0; k < knots_.back(); ++k) {
            add(Kind::torque_zero, r, 0.0, -torque_range, torque_range, k);
        }
        priors_ += knots_.back();  // the mean, and each step from knot to knot
    }
    ++priors_;  // the grip
    start_ = Eigen::VectorXd(static_cast<Eigen::Index>(first_.size()));
    for (std::size_t i = 0; i < first_.size(); ++i) {
        start_[static_cast<Eigen::Index>(i)] = std::clamp(first_[i], lower_[i], upper_[i]);
    }
}

void LoopProblem::add(Kind kind, std::size_t at, double start, double low, double high,
                      std::size_t knot) {
    unknowns_.push_back({kind, at, knot});
    first_.push_back(start);
    lower_.push_back(low);
    upper_.push_back(high);
}

void LoopProblem::add_stage(std::size_t s, double range, double torque_range) {
    const LoopShape::Stage& stage = base_.stages[s];
    const auto piece = static_cast<int>(s) + 1;
    const bool drive = reach_.drive >= piece, coast = reach_.coast >= piece;
    constexpr double span = 3.0;  // of the logarithm: a factor of 20 about the first guess
    const auto stiffness = [&](Kind kind, double value) {
        add(kind, s, std::log(value), std::log(value) - span, std::log(value) + span);
    };
    if (drive && coast) {
        stiffness(Kind::drive_stiffness, stage.drive_stiffness);
        stiffness(Kind::coast_stiffness, stage.coast_stiffness);
    } else if (drive || coast) {
        stiffness(Kind::both_stiffness, drive ? stage.drive_stiffness : stage.coast_stiffness);
    } else {
        return;
    }
    if (reach_.drive > piece) add(Kind::drive_width, s, stage.drive_width, least_width, range);
    if (reach_.coast > piece) add(Kind::coast_width, s, stage.coast_width, least_width, range);
    add(Kind::hysteresis, s, stage.hysteresis, 0.0, torque_range);
    if (s > 0 || extras_.first_preload) {
        add(Kind::preload, s, stage.preload, 0.0, 0.5 * torque_range);
    } else {
        base_.stages[s].preload = 0.0;
    }
}

LoopShape LoopProblem::shape(const Eigen::VectorXd& x) const {
    LoopShape out = base_;
    for (std::size_t i = 0; i < unknowns_.size(); ++i) {
        const Unknown& unknown = unknowns_[i];
        double value = x[static_cast<Eigen::Index>(i)];
        if (is_logarithm(unknown.kind)) value = std::exp(value);
        switch (unknown.kind) {
            case Kind::drive_stiffness:
                out.stages[unknown.at].drive_stiffness = value;
                break;
            case Kind::coast_stiffness:
                out.stages[unknown.at].coast_stiffness = value;
                break;
            case Kind::both_stiffness:
                out.stages[unknown.at].drive_stiffness = value;
                out.stages[unknown.at].coast_stiffness = value;
                break;
            case Kind::drive_width:
                out.stages[unknown.at].drive_width = value;
                break;
            case Kind::coast_width:
                out.stages[unknown.at].coast_width = value;
                break;
            case Kind::hysteresis:
                out.stages[unknown.at].hysteresis = value;
                break;
            case Kind::preload:
                out.stages[unknown.at].preload = value;
                break;
            case Kind::stop_stiffness:
                out.stop_stiffness = value;
                break;
            case Kind::grip:
                out.grip = value;
                break;
            case Kind::play:
                out.play = value;
                break;
            case Kind::zero_twist:
            case Kind::torque_zero:
                break;
        }
    }
    return out;
}

double LoopProblem::zero_twist(const Eigen::VectorXd& x) const {
    for (std::size_t i = 0; i < unknowns_.size(); ++i) {
        if (unknowns_[i].kind == Kind::zero_twist) return x[static_cast<Eigen::Index>(i)];
    }
    return 0.0;
}

double LoopProblem::torque_zero(const Eigen::VectorXd& x, std::size_t run, double position) const {
    const std::size_t knots = knots_[run];
    const auto* values = x.data() + first_knot_[run];
    if (knots == 1) return values[0];
    const double at = std::clamp(position, 0.0, 1.0) * static_cast<double>(knots - 1);
    const std::size_t knot = std::min(static_cast<std::size_t>(at), knots - 2);
    const double share = at - static_cast<double>(knot);
    return (1.0 - share) * values[knot] + share * values[knot + 1];
}

std::vector<PathMeans::Mean> LoopProblem::law_at_groups(const LoopShape& shape, double zero_twist,
                                                        std::size_t r) const {
    const GroupedRun& run = runs_[r];
    std::vector<PathMeans::Mean> out;
    out.reserve(run.groups.size());
    DiscBench bench(disc_of(shape));
    BenchPath up, down, other;
    // A whole settling cycle first, for the bench has made one as well. At its ends all friction
    // has slipped, so that every way from there begins alike, whatever was before.
    bench.move_to(run.high - zero_twist, up);
    bench.move_to(run.low - zero_twist, down);
    bench.move_to(run.high - zero_twist, up);
    bool at_end = true;
    std::size_t next = 0;
    for (std::size_t b = 0; b < run.branches.size(); ++b) {
        const BenchBranch& branch = run.branches[b];
        const BenchPath* path = branch.rising() ? &up : &down;
        if (!branch.from_end) {
            if (at_end) {  // come here the way the run did
                const double start = branch.rising() ? run.high : run.low;
                bench.move_to(start - zero_twist, other);
                bench.move_to(branch.from - zero_twist, other);
            }
            bench.move_to(branch.to - zero_twist, other);
            path = &other;
        }
        at_end = branch.from_end;
        PathMeans means(*path);
        for (; next < run.groups.size() && run.groups[next].branch == b; ++next) {
            const BenchGroup& group = run.groups[next];
            out.push_back(means.over(group.twist - zero_twist, group.span));
        }
    }
    return out;
}

bool LoopProblem::laws(const Eigen::VectorXd& x, Eigen::VectorXd& torque) const {
    torque.resize(static_cast<Eigen::Index>(groups_));
    const LoopShape now = shape(x);
    const double zero = zero_twist(x);
    Eigen::Index row = 0;
    try {
        for (std::size_t r = 0; r < runs_.size(); ++r) {
            for (const PathMeans::Mean& point : law_at_groups(now, zero, r))
                torque[row++] = point.torque;
        }
    } catch (const ModelError&) {
        return false;  // no such disc
    }
    return torque.allFinite();
}

void LoopProblem::residuals_of(const Eigen::VectorXd& x, const Eigen::VectorXd& torque,
                               Eigen::VectorXd& residuals) const {
    residuals.resize(static_cast<Eigen::Index>(groups_ + priors_));
    Eigen::Index row = 0;
    for (std::size_t r = 0; r < runs_.size(); ++r) {
        for (std::size_t g = 0; g < runs_[r].groups.size(); ++g, ++row) {
            const BenchGroup& group = runs_[r].groups[g];
            residuals[row] = (torque[row] + torque_zero(x, r, group.position) - group.torque) /
                             errors_.group[r][g];
        }
    }
    residuals[row++] = (x[grip_] - std::log(usual_grip)) / grip_spread;
    for (std::size_t r = 0; r < runs_.size(); ++r) {
        const auto knots = x.segment(static_cast<Eigen::Index>(first_knot_[r]),
                                     static_cast<Eigen::Index>(knots_[r]));
        for (Eigen::Index k = 1; k < knots.size(); ++k) {
            residuals[row++] = (knots[k] - knots[k - 1]) / (drift_share * runs_[r].torque_range);
        }
        residuals[row++] = knots.mean() / errors_.torque_zero[r];
    }
}

/// The part of the derivative that is the same everywhere: zeros of torque and what is held.
void LoopProblem::derive_bench(Eigen::MatrixXd& jacobian) const {
    Eigen::Index row = 0;
    for (std::size_t r = 0; r < runs_.size(); ++r) {
        for (std::size_t g = 0; g < runs_[r].groups.size(); ++g, ++row) {
            for (std::size_t k = 0; k < knots_[r]; ++k) {
                jacobian(row, static_cast<Eigen::Index>(first_knot_[r] + k)) =
                    hat(k, knots_[r], runs_[r].groups[g].position) / errors_.group[r][g];
            }
        }
    }
    jacobian(row++, grip_) = 1.0 / grip_spread;
    for (std::size_t r = 0; r < runs_.size(); ++r) {
        const auto first = static_cast<Eigen::Index>(first_knot_[r]);
        const auto knots = static_cast<Eigen::Index>(knots_[r]);
        for (Eigen::Index k = 1; k < knots; ++k, ++row) {
            const double weight = 1.0 / (drift_share * runs_[r].torque_range);
            jacobian(row, first + k) = weight;
            jacobian(row, first + k - 1) = -weight;
        }
        for (Eigen::Index k = 0; k < knots; ++k) {
            jacobian(row, first + k) = 1.0 / (static_cast<double>(knots) * errors_.torque_zero[r]);
        }
        ++row;
    }
}

bool LoopProblem::evaluate(const Eigen::VectorXd& x, Eigen::VectorXd& residuals,
                           Eigen::MatrixXd* jacobian) const {
    Eigen::VectorXd torque;
    if (!laws(x, torque)) return false;
    residuals_of(x, torque, residuals);
    if (jacobian == nullptr) return true;
    jacobian->setZero(residuals.size(), x.size());
    derive_bench(*jacobian);
    Eigen::VectorXd moved;
    for (Eigen::Index i = 0; i < x.size(); ++i) {
        const Kind kind = unknowns_[static_cast<std::size_t>(i)].kind;
        if (kind == Kind::torque_zero) continue;
        double step = difference * (is_logarithm(kind) ? 1.0 : std::max(std::abs(x[i]), 1e-2));
        Eigen::VectorXd at = x;
        at[i] += step;
        if (at[i] > upper_[static_cast<std::size_t>(i)] || !laws(at, moved)) {
            step = -step;
            at[i] = x[i] + step;
            if (!laws(at, moved)) return false;
        }
        const Eigen::VectorXd slope = (moved - torque) / step;
        Eigen::Index row = 0;
        for (const std::vector<double>& errors : errors_.group) {
            for (const double error : errors) {
                (*jacobian)(row, i) = slope[row] / error;
                ++row;
            }
        }
    }
    return true;
}

LeastSquaresResult LoopProblem::solve(const Eigen::VectorXd& from, int most_steps,
                                      double enough) const {
    BoundedLeastSquares problem;
    problem.lower = Eigen::Map<const Eigen::VectorXd>(lower_.data(), start_.size());
    problem.upper = Eigen::Map<const Eigen::VectorXd>(upper_.data(), start_.size());
    problem.most_steps = most_steps;
    problem.enough = enough;
    problem.evaluate = [this](const Eigen::VectorXd& x, Eigen::VectorXd& residuals,
                              Eigen::MatrixXd* jacobian) {
        return evaluate(x, residuals, jacobian);
    };
    return least_squares(problem, from);
}

}  // namespace damper
