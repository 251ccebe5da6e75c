// SPDX-License-Identifier: MIT
#include "libdamper/solvers/orbit/periodic_balance.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/driveline/row_vector.hpp"
#include "libdamper/elements/torque_source.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <fmt/format.h>
#include <limits>
#include <utility>

namespace damper {

namespace {

constexpr int grid_per_harmonic = 16;  // points of a period at which guards are looked at
constexpr int least_grid = 128;
constexpr double singular = 1e-13;  // of the largest pivot of the mean balance

std::size_t index(int i) {
    return static_cast<std::size_t>(i);
}

/// The torque of a harmonic in the slope's matrix: mean spring and damping.
void take_off_mean(Eigen::MatrixXd& slope, double spring, double damping,
                   const FourierBasis& basis) {
    slope.diagonal().array() -= spring;
    for (int n = 1; n <= basis.harmonics; ++n) {
        slope(2 * n - 1, 2 * n) -= n * basis.omega * damping;
        slope(2 * n, 2 * n - 1) += n * basis.omega * damping;
    }
}

/// Slope of a torque by crank angle (of the mean and all harmonics) over that angle.
double crank_slope(const CrankTorque& source, double angle) {
    double sum = 0.0;
    for (const CrankHarmonic& h : source.harmonics) {
        sum +=
            h.order * (h.sine * std::cos(h.order * angle) - h.cosine * std::sin(h.order * angle));
    }
    return sum;
}

}  // namespace

Eigen::VectorXd PeriodicMotion::angle(std::size_t inertia) const {
    const auto first = static_cast<Eigen::Index>(inertia) * basis.size();
    Eigen::VectorXd out = unknowns.segment(first, basis.size());
    if (balanced && inertia == lead) out(0) = 0.0;
    return out;
}

PeriodicBalance::PeriodicBalance(PeriodicProblem problem, int harmonics)
    : problem_(std::move(problem)),
      basis_{.harmonics = harmonics, .omega = problem_.omega},
      grid_(harmonics, std::max(least_grid, grid_per_harmonic * harmonics)),

      n_(static_cast<Eigen::Index>(problem_.line.masses.size())) {
    const Driveline& line = problem_.line;
    if (!line.smooth.empty()) {
        throw ModelError(
            fmt::format("harmonic balance takes no smooth law (\"{}\")", line.smooth.front().name));
    }
    if (!line.faces.empty()) {
        throw ModelError(fmt::format("harmonic balance takes no rubbing faces (\"{}\")",
                                     line.faces.front().name));
    }
    if (!(problem_.omega > 0.0) || harmonics < 1) {
        throw ModelError("harmonic balance needs a period and at least one harmonic");
    }
    std::size_t part = 0;
    for (const Branch& branch : line.branches) {
        std::size_t parts = 0;
        double drift = 0.0;
        for (const Cell& cell : branch.chain) parts += cell.parts.size();
        double size = 0.0;
        for (const RowEntry& e : branch.row) {
            drift += e.factor * line.masses[index(e.inertia)].reference_speed;
            size += std::abs(e.factor * line.masses[index(e.inertia)].reference_speed);
        }
        if (std::abs(drift) <= 1e-12 * size) drift = 0.0;
        const auto from = static_cast<std::ptrdiff_t>(part);
        const auto to = static_cast<std::ptrdiff_t>(part + parts);
        walkers_.emplace_back(
            branch, drift,
            std::vector<int>(problem_.start.mode.begin() + from, problem_.start.mode.begin() + to),
            std::vector<double>(problem_.start.memory.begin() + from,
                                problem_.start.memory.begin() + to));
        is_damper_.push_back(is_damper(branch));
        first_part_.push_back(part);
        part += parts;
    }
    for (const Input& input : line.inputs) {
        if (const auto* crank = std::get_if<CrankTorque>(&input.source)) {
            for (const CrankHarmonic& h : crank->harmonics) {
                torque_scale_ = std::max({torque_scale_, std::abs(h.cosine), std::abs(h.sine)});
            }
            torque_scale_ = std::max(torque_scale_, std::abs(crank->mean));
        } else {
            torque_scale_ = std::max(torque_scale_, std::abs(torque(input.source, 0.0, 0.0, 0.0)));
        }
    }
}

bool PeriodicBalance::is_free(int inertia) const {
    return problem_.balanced_at >= 0 && index(inertia) == problem_.lead;
}

Eigen::VectorXd PeriodicBalance::along(const std::vector<RowEntry>& row,
                                       const Eigen::VectorXd& unknowns) const {
    Eigen::VectorXd out = Eigen::VectorXd::Zero(basis_.size());
    for (const RowEntry& e : row) {
        out += e.factor * unknowns.segment(e.inertia * basis_.size(), basis_.size());
        if (is_free(e.inertia)) out(0) -= e.factor * unknowns(e.inertia * basis_.size());
    }
    return out;
}

void PeriodicBalance::add(const std::vector<RowEntry>& row, const Eigen::VectorXd& torque,
                          Eigen::VectorXd& to, double sign) const {
    for (const RowEntry& e : row) {
        to.segment(e.inertia * basis_.size(), basis_.size()) +=
            sign * e.factor * torque.head(basis_.size());
    }
}

bool PeriodicBalance::evaluate(const Eigen::VectorXd& unknowns) {
    why_not_.clear();
    ports_.clear();
    courses_.clear();
    switches_ = 0;
    spring_.setZero(n_, n_);
    damping_.setZero(n_, n_);
    mean_spring_.setZero(n_, n_);
    residual_.setZero(n_ * basis_.size());
    for (Eigen::Index i = 0; i < n_; ++i) {
        const double inertia = problem_.line.masses[static_cast<std::size_t>(i)].inertia;
        for (int n = 1; n <= basis_.harmonics; ++n) {
            const double factor = -inertia * n * n * basis_.omega * basis_.omega;
            const Eigen::Index at = i * basis_.size() + 2 * n - 1;
            residual_.segment<2>(at) += factor * unknowns.segment<2>(at);
        }
    }
    take_branches(unknowns);
    if (!why_not_.empty()) return false;
    take_inputs(unknowns);
    return why_not_.empty();
}

void PeriodicBalance::take_branches(const Eigen::VectorXd& unknowns) {
    for (std::size_t b = 0; b < walkers_.size(); ++b) {
        const Branch& branch = problem_.line.branches[b];
        BranchCourse course = walkers_[b].walk(basis_, grid_, along(branch.row, unknowns));
        if (!course.repeats) {
            why_not_ = course.why_not;
            return;
        }
        switches_ += course.switches;
        const Eigen::VectorXd g = row_vector(branch.row, n_);
        if (is_damper_[b]) {
            const double mean_rate = basis_.omega * along(branch.row, unknowns)(0);
            course.torque(0) += course.damping * mean_rate;
            mean_spring_ += course.damping * basis_.omega * g * g.transpose();
        }
        add(branch.row, course.torque, residual_, 1.0);
        spring_ += course.spring * g * g.transpose();
        damping_ += course.damping * g * g.transpose();
        if (course.slope.size() > 0) {
            take_off_mean(course.slope, course.spring, course.damping, basis_);
            ports_.push_back({.row = branch.row, .slope = course.slope});
        }
        courses_.push_back(std::move(course));
    }
}

void PeriodicBalance::take_inputs(const Eigen::VectorXd& unknowns) {
    for (const Input& input : problem_.line.inputs) {
        const std::vector<RowEntry> row = input.row();
        const auto* crank = std::get_if<CrankTorque>(&input.source);
        const double speed = problem_.line.masses[index(input.inertia)].reference_speed;
        const Eigen::VectorXd angle = grid_.table * along(row, unknowns);
        Eigen::VectorXd values(grid_.points);
        Eigen::VectorXd slopes(grid_.points);
        for (int k = 0; k < grid_.points; ++k) {
            const double t = basis_.period() * k / grid_.points;
            values(k) = torque(input.source, t, speed * t + angle(k), speed);
            if (crank != nullptr) slopes(k) = crank_slope(*crank, speed * t + angle(k));
        }
        const double norm = 2.0 / grid_.points;
        Eigen::VectorXd series = norm * (grid_.table.transpose() * values);
        series(0) *= 0.5;
        add(row, series, residual_, -1.0);
        if (crank == nullptr) continue;
        const Eigen::MatrixXd weighted = slopes.asDiagonal() * grid_.table;
        Eigen::MatrixXd slope = -norm * (grid_.table.transpose() * weighted);
        slope.row(0) *= 0.5;
        if (is_free(input.inertia)) slope.col(0).setZero();
        ports_.push_back({.row = row, .slope = std::move(slope)});
    }
    if (problem_.balanced_at >= 0) {
        residual_(problem_.balanced_at * basis_.size()) -=
            unknowns(static_cast<Eigen::Index>(problem_.lead) * basis_.size());
    }
}

bool PeriodicBalance::factorise() {
    Eigen::MatrixXd mean = spring_ + mean_spring_;
    if (problem_.balanced_at >= 0) {
        mean.col(static_cast<Eigen::Index>(problem_.lead)).setZero();
        mean(problem_.balanced_at, static_cast<Eigen::Index>(problem_.lead)) = -1.0;
    }
    mean_.compute(mean);
    mean_.setThreshold(singular);
    if (!mean_.isInvertible()) {
        why_not_ = "nothing holds the mean twist of an element (a lash that never touches?)";
        return false;
    }
    blocks_.clear();
    for (int n = 1; n <= basis_.harmonics; ++n) {
        const double w = n * basis_.omega;
        Eigen::MatrixXcd block = spring_.cast<std::complex<double>>();
        block += std::complex<double>(0.0, w) * damping_;
        for (Eigen::Index i = 0; i < n_; ++i) {
            block(i, i) -= w * w * problem_.line.masses[static_cast<std::size_t>(i)].inertia;
        }
        blocks_.emplace_back(block);
    }
    // (I + Y·S)·u = Y·right in the ports' twists u, with Y what the rest gives there.
    const Eigen::Index size = basis_.size();
    const auto count = static_cast<Eigen::Index>(ports_.size());
    Eigen::MatrixXd system = Eigen::MatrixXd::Identity(count * size, count * size);
    for (Eigen::Index a = 0; a < count; ++a) {
        const Port& from = ports_[static_cast<std::size_t>(a)];
        const Eigen::VectorXd g = row_vector(from.row, n_);
        Eigen::VectorXd mean_give = mean_.solve(g);
        if (problem_.balanced_at >= 0) mean_give(static_cast<Eigen::Index>(problem_.lead)) = 0.0;
        std::vector<Eigen::VectorXcd> gives;
        for (const auto& block : blocks_) {
            gives.emplace_back(block.solve(g.cast<std::complex<double>>()));
        }
        for (Eigen::Index b = 0; b < count; ++b) {
            const Eigen::VectorXd h = row_vector(ports_[static_cast<std::size_t>(b)].row, n_);
            auto rows = system.block(b * size, a * size, size, size);
            rows.row(0) += h.dot(mean_give) * from.slope.row(0);
            for (int n = 1; n <= basis_.harmonics; ++n) {
                const std::complex<double> y =
                    h.cast<std::complex<double>>().dot(gives[index(n - 1)]);
                rows.row(2 * n - 1) +=
                    y.real() * from.slope.row(2 * n - 1) + y.imag() * from.slope.row(2 * n);
                rows.row(2 * n) +=
                    y.real() * from.slope.row(2 * n) - y.imag() * from.slope.row(2 * n - 1);
            }
        }
    }
    if (count > 0) dense_.compute(system);
    return true;
}

Eigen::VectorXd PeriodicBalance::without_ports(const Eigen::VectorXd& right) const {
    const Eigen::Index size = basis_.size();
    Eigen::VectorXd out(right.size());
    Eigen::VectorXd mean(n_);
    for (Eigen::Index i = 0; i < n_; ++i) mean(i) = right(i * size);
    mean = mean_.solve(mean).eval();
    for (Eigen::Index i = 0; i < n_; ++i) out(i * size) = mean(i);
    Eigen::VectorXcd force(n_);
    for (int n = 1; n <= basis_.harmonics; ++n) {
        for (Eigen::Index i = 0; i < n_; ++i) {
            force(i) = {right(i * size + 2 * n - 1), -right(i * size + 2 * n)};
        }
        const Eigen::VectorXcd x = blocks_[index(n - 1)].solve(force);
        for (Eigen::Index i = 0; i < n_; ++i) {
            out(i * size + 2 * n - 1) = x(i).real();
            out(i * size + 2 * n) = -x(i).imag();
        }
    }
    return out;
}

Eigen::VectorXd PeriodicBalance::solve(const Eigen::VectorXd& right) const {
    const Eigen::Index size = basis_.size();
    Eigen::VectorXd x = without_ports(right);
    if (ports_.empty()) return x;
    Eigen::VectorXd twists(static_cast<Eigen::Index>(ports_.size()) * size);
    for (std::size_t a = 0; a < ports_.size(); ++a) {
        twists.segment(static_cast<Eigen::Index>(a) * size, size) = along(ports_[a].row, x);
    }
    twists = dense_.solve(twists).eval();
    Eigen::VectorXd torque = right;
    for (std::size_t a = 0; a < ports_.size(); ++a) {
        add(ports_[a].row,
            ports_[a].slope * twists.segment(static_cast<Eigen::Index>(a) * size, size), torque,
            -1.0);
    }
    return without_ports(torque);
}

Eigen::MatrixXd PeriodicBalance::jacobian() const {
    const Eigen::Index size = basis_.size();
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(n_ * size, n_ * size);
    for (Eigen::Index i = 0; i < n_; ++i) {
        for (Eigen::Index j = 0; j < n_; ++j) {
            auto block = out.block(i * size, j * size, size, size);
            block.diagonal().array() += spring_(i, j);
            block(0, 0) += mean_spring_(i, j);
            for (int n = 1; n <= basis_.harmonics; ++n) {
                const double w = n * basis_.omega;
                block(2 * n - 1, 2 * n) += w * damping_(i, j);
                block(2 * n, 2 * n - 1) -= w * damping_(i, j);
                if (i != j) continue;
                const double inertia = problem_.line.masses[static_cast<std::size_t>(i)].inertia;
                block(2 * n - 1, 2 * n - 1) -= w * w * inertia;
                block(2 * n, 2 * n) -= w * w * inertia;
            }
        }
    }
    for (const Port& port : ports_) {
        for (const RowEntry& i : port.row) {
            for (const RowEntry& j : port.row) {
                out.block(i.inertia * size, j.inertia * size, size, size) +=
                    i.factor * j.factor * port.slope;
            }
        }
    }
    if (problem_.balanced_at >= 0) {
        const auto column = static_cast<Eigen::Index>(problem_.lead) * size;
        out.col(column).setZero();
        out(problem_.balanced_at * size, column) = -1.0;
    }
    return out;
}

double PeriodicBalance::truncation(const Eigen::VectorXd& unknowns) const {
    // Above the highest harmonic an inertia moves against its own mass alone, nearly.
    const Eigen::Index size = basis_.size();
    double swing = 0.0;
    for (Eigen::Index i = 0; i < n_; ++i) {
        const Eigen::VectorXd q = unknowns.segment(i * size, size);
        swing = std::max(swing, basis_.derivative(q).norm());
    }
    double worst = 0.0;
    for (Eigen::Index i = 0; i < n_; ++i) {
        double sum = 0.0;
        for (int m = basis_.harmonics + 1; m <= 2 * basis_.harmonics; ++m) {
            Eigen::Vector2d torque = Eigen::Vector2d::Zero();
            for (std::size_t b = 0; b < courses_.size(); ++b) {
                for (const RowEntry& e : problem_.line.branches[b].row) {
                    if (e.inertia != i) continue;
                    torque += e.factor * courses_[b].torque.segment<2>(2 * m - 1);
                }
            }
            const double impedance =
                problem_.line.masses[static_cast<std::size_t>(i)].inertia * m * basis_.omega;
            sum += torque.squaredNorm() / (impedance * impedance);
        }
        worst = std::max(worst, std::sqrt(sum));
    }
    return swing > 0.0 ? worst / swing : 0.0;
}

PeriodicMotion PeriodicBalance::motion(const Eigen::VectorXd& unknowns) const {
    PeriodicMotion out{.basis = basis_, .unknowns = unknowns, .mode = {}, .memory = {}};
    for (const BranchWalker& walker : walkers_) {
        out.mode.insert(out.mode.end(), walker.modes().begin(), walker.modes().end());
        out.memory.insert(out.memory.end(), walker.memories().begin(), walker.memories().end());
    }
    out.balanced = problem_.balanced_at >= 0;
    out.lead = problem_.lead;
    if (out.balanced) {
        out.balance = unknowns(static_cast<Eigen::Index>(problem_.lead) * basis_.size());
    }
    out.truncation = truncation(unknowns);
    out.switches = switches_;
    return out;
}

void PeriodicBalance::restart(const std::vector<int>& mode, const std::vector<double>& memory) {
    for (std::size_t b = 0; b < walkers_.size(); ++b) {
        const std::size_t parts = walkers_[b].modes().size();
        const auto from = static_cast<std::ptrdiff_t>(first_part_[b]);
        const auto to = static_cast<std::ptrdiff_t>(first_part_[b] + parts);
        walkers_[b].restart({mode.begin() + from, mode.begin() + to},
                            {memory.begin() + from, memory.begin() + to});
    }
}

BalanceOutcome solve_balance(PeriodicBalance& balance, Eigen::VectorXd guess,
                             const BalanceSettings& settings) {
    BalanceOutcome out;
    out.unknowns = std::move(guess);
    const double enough = settings.tolerance * balance.torque_scale();
    if (!balance.evaluate(out.unknowns)) {
        out.why_not = balance.why_not();
        return out;
    }
    for (; out.iterations < settings.most_iterations; ++out.iterations) {
        const double before = balance.residual().norm();
        if (before <= enough) {
            out.converged = true;
            return out;
        }
        if (!balance.factorise()) {
            out.why_not = balance.why_not();
            return out;
        }
        const Eigen::VectorXd move = balance.solve(balance.residual());
        const PeriodicMotion kept = balance.motion(out.unknowns);
        // Where mode changes lie otherwise than the derivative thinks, a shorter step does better.
        double share = 1.0;
        bool better = false;
        for (int halving = 0; halving < 6 && !better; ++halving, share *= 0.5) {
            balance.restart(kept.mode, kept.memory);
            const Eigen::VectorXd trial = out.unknowns - share * move;
            if (!balance.evaluate(trial)) continue;
            better = balance.residual().norm() < before || halving == 5;
            if (better) out.unknowns = trial;
        }
        if (!better) {
            out.why_not = balance.why_not().empty() ? "no step leads on" : balance.why_not();
            return out;
        }
    }
    out.why_not = fmt::format("{:.2g} N m remain unbalanced after {} steps",
                              balance.residual().norm(), out.iterations);
    return out;
}

bool is_damper(const Branch& branch) {
    if (branch.row.size() < 2) return false;
    for (const Cell& cell : branch.chain) {
        for (const Part& part : cell.parts) {
            for (const Mode& mode : part.law.modes) {
                if (mode.spring != 0.0 || !mode.guards.empty() || mode.lost != 0.0) return false;
            }
        }
    }
    return true;
}

TimeProblem time_problem(const PeriodicProblem& problem, const PeriodicMotion& motion) {
    TimeProblem out{.line = problem.line, .start = problem.start};
    State& state = out.start;
    state.time = 0.0;
    state.mode = motion.mode;
    state.memory = motion.memory;
    const std::size_t n = problem.line.masses.size();
    for (std::size_t i = 0; i < n; ++i) {
        const SeriesNow now = evaluate(motion.basis, motion.angle(i), 0.0);
        state.angle[i] = now.value;
        state.speed[i] = now.rate;
    }
    double balance = motion.balance;
    for (const Branch& branch : problem.line.branches) {
        if (!is_damper(branch)) continue;
        double mean_twist = 0.0;
        for (const RowEntry& e : branch.row) {
            mean_twist += e.factor * motion.angle(static_cast<std::size_t>(e.inertia))(0);
        }
        // Behind the slip everything turns slower; several tyres of one vehicle slip alike.
        const RowEntry& behind = branch.row.back();
        RotatingMass& mass = out.line.masses[static_cast<std::size_t>(behind.inertia)];
        const double speed =
            problem.line.masses[static_cast<std::size_t>(behind.inertia)].reference_speed +
            motion.basis.omega * mean_twist / behind.factor;
        ++out.neutral;
        if (mass.reference_speed == speed) continue;
        const double change = speed - mass.reference_speed;
        mass.reference_speed = speed;
        for (const Branch& ground : problem.line.branches) {
            if (ground.row.size() != 1 || ground.row[0].inertia != behind.inertia) continue;
            for (const Cell& cell : ground.chain) {
                for (const Part& part : cell.parts) {
                    balance += part.law.modes[0].lost_rate * change;
                }
            }
        }
    }
    if (problem.balanced_at >= 0) {
        out.line.inputs.push_back(
            {.name = "balance", .inertia = problem.balanced_at, .source = ConstantTorque{balance}});
    }
    return out;
}

}  // namespace damper
