// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/shooting.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/eigen_pairs.hpp"
#include "libdamper/solvers/exact/exact_solver.hpp"
#include "libdamper/solvers/exact/variation.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numeric>
#include <utility>

namespace damper {

namespace {

constexpr double angle_weight = 100.0;  // rad/s that a radian counts as in norms
constexpr double singular = 1e-7;       // of the largest pivot
constexpr int halvings = 5;
constexpr int leaps = 4;
constexpr int calming_periods = 4;
constexpr int starts = 3;                  // in other modes, before it is given up
constexpr double progress_wanted = 0.8;    // of what remained, per iteration, on average
constexpr int patience = 14;               // iterations until that is asked for
constexpr double derivative_serves = 0.1;  // while an iteration leaves no more than this of it
constexpr double near_edge = 1e-7;         // a multiplier this close to the unit circle is on it

/// The map from one passage to the next in coordinates that a period leaves alone: angles relative
/// to the lead's, speeds, and memories of friction that rests.
class PassageMap {
  public:
    PassageMap(const Driveline& line, const State& guess, const OrbitSettings& settings)
        : line_(line), settings_(settings), n_(line.masses.size()) {
        const double lead = line.masses[settings.lead].reference_speed;
        for (const RotatingMass& mass : line.masses) {
            turn_.push_back(mass.reference_speed / lead * settings.angle);
        }
        const Stacked stacked(line);
        for (std::size_t i = 0; i < n_; ++i) {
            if (i != settings.lead) rows_.push_back(i);
        }
        for (std::size_t i = 0; i < n_; ++i) rows_.push_back(n_ + i);
        for (std::size_t p = 0; p < stacked.parts().size(); ++p) {
            const Stacked::PartPlace& place = stacked.parts()[p];
            memory_turn_.push_back(stacked.drift(place.branch) / lead * settings.angle);
            if (place.part->law.modes[static_cast<std::size_t>(guess.mode[p])].memory_weight !=
                0.0) {
                rows_.push_back(2 * n_ + p);
            }
        }
    }

    struct Passage {
        bool arrived = false;
        bool grazed = false;
        std::vector<bool> has_switched;
        State end;
        Eigen::VectorXd remains;     ///< What a period changes, weighted.
        Eigen::MatrixXd derivative;  ///< Of the map, weighted.
        std::int64_t mode_changes = 0;
        std::string trouble;
    };

    /// From a start to the next passage, without the derivative.
    [[nodiscard]] Passage from(const State& start, const Progress& progress) const {
        return pass(start, nullptr, progress);
    }

    /// The same with the derivative.
    [[nodiscard]] Passage with_derivative(const State& start, const Progress& progress) const {
        const auto size = static_cast<Eigen::Index>(rows_.size());
        const auto parts = static_cast<Eigen::Index>(start.memory.size());
        Eigen::MatrixXd unit =
            Eigen::MatrixXd::Zero(2 * static_cast<Eigen::Index>(n_) + parts, size);
        for (Eigen::Index c = 0; c < size; ++c) unit(row(c), c) = 1.0 / weight(c);
        Variation variation(line_, std::move(unit));
        Passage out = pass(start, &variation, progress);
        if (!out.arrived) return out;
        out.grazed = variation.grazed();
        out.has_switched = variation.has_switched();
        const Eigen::MatrixXd& x = variation.now();
        // The lead passes its angle a little earlier or later; what the others do meanwhile is a
        // matter of their speeds and accelerations.
        const auto lead = static_cast<Eigen::Index>(settings_.lead);
        const Eigen::RowVectorXd delay = -x.row(lead) / speed(out.end, settings_.lead);
        const std::vector<double> alpha = accelerations(out.end);
        out.derivative.resize(size, size);
        for (Eigen::Index c = 0; c < size; ++c) {
            const std::size_t r = rows_[static_cast<std::size_t>(c)];
            double moves = 0.0;
            if (r < n_) moves = speed(out.end, r);
            if (r >= n_ && r < 2 * n_) moves = alpha[r - n_];
            out.derivative.row(c) = weight(c) * (x.row(row(c)) + moves * delay);
        }
        return out;
    }

    /// `start` moved by weighted amounts.
    [[nodiscard]] State moved(const State& start, const Eigen::VectorXd& by) const {
        State out = start;
        for (Eigen::Index c = 0; c < by.size(); ++c) {
            const std::size_t r = rows_[static_cast<std::size_t>(c)];
            double& v = r < n_       ? out.angle[r]
                        : r < 2 * n_ ? out.speed[r - n_]
                                     : out.memory[r - 2 * n_];
            v += by(c) / weight(c);
        }
        return out;
    }

    /// The derivative in plain units, without memories of friction that stayed as it was.
    [[nodiscard]] Eigen::MatrixXd plain(const Passage& passage) const {
        std::vector<Eigen::Index> kept;
        for (std::size_t c = 0; c < rows_.size(); ++c) {
            if (rows_[c] < 2 * n_ || passage.has_switched[rows_[c] - 2 * n_]) {
                kept.push_back(static_cast<Eigen::Index>(c));
            }
        }
        Eigen::MatrixXd out(kept.size(), kept.size());
        for (std::size_t i = 0; i < kept.size(); ++i) {
            for (std::size_t j = 0; j < kept.size(); ++j) {
                out(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
                    passage.derivative(kept[i], kept[j]) * weight(kept[j]) / weight(kept[i]);
            }
        }
        return out;
    }

  private:
    [[nodiscard]] Passage pass(const State& start, Variation* variation,
                               const Progress& progress) const {
        const double now =
            line_.masses[settings_.lead].reference_speed * start.time + start.angle[settings_.lead];
        const TimeOutcome run = solve_exact_to(
            line_, start,
            {.end = start.time + settings_.longest_period, .sample_step = settings_.longest_period},
            nullptr, {.inertia = settings_.lead, .angle = now + settings_.angle}, variation,
            progress);
        Passage out;
        out.arrived = run.report.complete;
        if (!out.arrived) {
            out.trouble = run.report.warnings.empty() ? "the engine does not turn that far in time"
                                                      : run.report.warnings.front();
            return out;
        }
        out.end = run.end;
        out.mode_changes = run.report.mode_changes;
        const auto size = static_cast<Eigen::Index>(rows_.size());
        out.remains.resize(size);
        for (Eigen::Index c = 0; c < size; ++c) {
            const std::size_t r = rows_[static_cast<std::size_t>(c)];
            out.remains(c) = weight(c) * (value(run.end, r) - turn(r) - value(start, r));
        }
        return out;
    }
    [[nodiscard]] Eigen::Index row(Eigen::Index c) const {
        return static_cast<Eigen::Index>(rows_[static_cast<std::size_t>(c)]);
    }
    [[nodiscard]] double weight(Eigen::Index c) const {
        const std::size_t r = rows_[static_cast<std::size_t>(c)];
        return r >= n_ && r < 2 * n_ ? 1.0 : angle_weight;
    }
    /// Angles of deviation: total ones would lose digits.
    [[nodiscard]] double value(const State& state, std::size_t r) const {
        if (r < n_) return line_.masses[r].reference_speed * state.time + state.angle[r];
        return r < 2 * n_ ? state.speed[r - n_] : state.memory[r - 2 * n_];
    }
    [[nodiscard]] double turn(std::size_t r) const {
        if (r < n_) return turn_[r];
        return r < 2 * n_ ? 0.0 : memory_turn_[r - 2 * n_];
    }
    [[nodiscard]] double speed(const State& state, std::size_t i) const {
        return line_.masses[i].reference_speed + state.speed[i];
    }
    [[nodiscard]] std::vector<double> accelerations(const State& state) const {
        Stacked stacked(line_);
        stacked.set(state);
        std::vector<double> alpha(n_, 0.0);
        for (std::size_t b = 0; b < line_.branches.size(); ++b) {
            const double tau = stacked.torque(b, stacked.twist(b, state.time, state.angle),
                                              stacked.rate(b, state.speed));
            for (const RowEntry& entry : line_.branches[b].row) {
                alpha[static_cast<std::size_t>(entry.inertia)] -= entry.factor * tau;
            }
        }
        for (const Input& input : line_.inputs) {
            const std::vector<RowEntry> row = input.row();
            double angle = 0.0, speed = 0.0;
            for (const RowEntry& entry : row) {
                const auto i = static_cast<std::size_t>(entry.inertia);
                angle +=
                    entry.factor * (line_.masses[i].reference_speed * state.time + state.angle[i]);
                speed += entry.factor * (line_.masses[i].reference_speed + state.speed[i]);
            }
            const double tau = torque(input.source, state.time, angle, speed);
            for (const RowEntry& entry : row) {
                alpha[static_cast<std::size_t>(entry.inertia)] += entry.factor * tau;
            }
        }
        for (std::size_t i = 0; i < n_; ++i) alpha[i] /= line_.masses[i].inertia;
        return alpha;
    }

    const Driveline& line_;
    OrbitSettings settings_;
    std::size_t n_;
    std::vector<double> turn_, memory_turn_;
    std::vector<std::size_t> rows_;  ///< Of the variation that are coordinates.
};

double swing_of(const Driveline& line, const State& state) {
    double swing = 1e-3;
    for (std::size_t i = 0; i < line.masses.size(); ++i) {
        swing = std::max(swing, std::abs(state.speed[i]));
    }
    return swing;
}

/// Share of the kinetic energy of a change of speeds (rows n − 1 … 2n − 2 of `mode`) that is in a
/// common gain in proportion to the mean speeds.
double mean_speed_share(const Driveline& line, const Eigen::VectorXcd& mode) {
    const std::size_t n = line.masses.size();
    std::complex<double> along = 0.0;
    double own = 0.0;
    double mean = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        const RotatingMass& mass = line.masses[i];
        const std::complex<double> v = mode(static_cast<Eigen::Index>(n - 1 + i));
        along += mass.inertia * mass.reference_speed * v;
        own += mass.inertia * std::norm(v);
        mean += mass.inertia * mass.reference_speed * mass.reference_speed;
    }
    return own > 0.0 && mean > 0.0 ? std::norm(along) / (own * mean) : 0.0;
}

void judge_stability(const Driveline& line, Orbit& orbit) {
    const EigenPairs eigen = eigen_pairs(orbit.monodromy);
    const Eigen::VectorXcd& values = eigen.values;
    std::vector<Eigen::Index> order(static_cast<std::size_t>(values.size()));
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) {
        const double x = std::abs(values(a));
        const double y = std::abs(values(b));
        return x != y ? x > y : values(a).imag() > values(b).imag();
    });
    for (const Eigen::Index i : order) orbit.multipliers.push_back(values(i));
    if (orbit.multipliers.empty()) return;
    orbit.mean_speed_share = mean_speed_share(line, eigen.vectors.col(order.front()));
    const std::complex<double> first = orbit.multipliers.front();
    orbit.stable = std::abs(first) < 1.0 - near_edge;
    if (orbit.edge == "grazing") return;
    if (std::abs(first.imag()) > 1e-9 * std::abs(first)) {
        orbit.edge = "torus";
    } else {
        orbit.edge = first.real() > 0.0 ? "fold" : "period doubling";
    }
}

/// Where a start gets to in a few periods; `otherwise` if it does not get there.
State calmed(const PassageMap& map, State start, const State& otherwise, const Progress& progress) {
    for (int i = 0; i < calming_periods; ++i) {
        PassageMap::Passage here = map.from(start, progress);
        if (!here.arrived) return otherwise;
        start = std::move(here.end);
    }
    return start;
}

/// A step of Newton's method, and where it led.
struct Step {
    State start;
    PassageMap::Passage passage;
    double left = std::numeric_limits<double>::infinity();  ///< Norm of what remains there.
};

/// Takes a step; where mode changes lie otherwise than the derivative thinks, a shorter one does
/// better.
Step step_from(const PassageMap& map, const State& start, Eigen::VectorXd move, double before,
               int most_halvings, std::int64_t most_passages, const Progress& progress,
               Orbit& orbit) {
    Step best;
    for (int halving = 0;
         halving <= most_halvings && best.left > 0.9 * before && orbit.passages < most_passages;
         ++halving, move *= 0.5) {
        State trial = map.moved(start, move);
        PassageMap::Passage here = map.from(trial, progress);
        ++orbit.passages;
        if (!here.arrived || !(here.remains.norm() < best.left)) continue;
        best.left = here.remains.norm();
        best.start = std::move(trial);
        best.passage = std::move(here);
    }
    return best;
}

/// Newton's method in the modes of the guess. Leaves the orbit's start where it got to; returns the
/// last passage, with its derivative if it was found. A derivative costs far more than a passage:
/// it serves for as many steps as it leads on quickly.
PassageMap::Passage approach(const PassageMap& map, double swing, const OrbitSettings& settings,
                             const Progress& progress, Orbit& orbit) {
    PassageMap::Passage passage;
    Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> solver;
    solver.setThreshold(singular);
    bool fresh = false;  // the derivative is that of the present passage
    const auto take_derivative = [&] {
        passage = map.with_derivative(orbit.start, progress);
        ++orbit.passages;
        fresh = true;
        if (!passage.arrived) return;
        const Eigen::Index size = passage.remains.size();
        solver.compute(Eigen::MatrixXd::Identity(size, size) - passage.derivative);
    };
    take_derivative();
    const double first = passage.arrived ? passage.remains.norm() : 0.0;
    int leaps_left = leaps;
    for (int i = 0;;) {
        if (!passage.arrived) {
            orbit.why_not = passage.trouble;
            return passage;
        }
        const double before = passage.remains.norm();
        orbit.residual = before / swing;
        orbit.mode_changes = passage.mode_changes;
        orbit.period = passage.end.time - orbit.start.time;
        if (orbit.residual <= settings.tolerance) {
            if (!fresh) take_derivative();
            return passage;
        }
        const bool slow = i >= patience && before > std::pow(progress_wanted, i) * first;
        // A step takes one passage at least, and the derivative after it another.
        const bool spent = orbit.passages + 2 > settings.most_passages;
        if (i >= settings.most_iterations || slow || spent || progress.must_stop()) {
            orbit.why_not = fmt::format(
                "it does not repeat: after {} trials {:.2g} of the speed "
                "swing remains",
                i, orbit.residual);
            return passage;
        }
        Step step = step_from(map, orbit.start, solver.solve(passage.remains), before,
                              fresh ? halvings : 0, settings.most_passages - 1, progress, orbit);
        const bool led_on = step.left <= derivative_serves * before;
        if (!fresh && !led_on) {
            take_derivative();
            continue;
        }
        ++i;
        ++orbit.iterations;
        // Where that gets nowhere, a slow mode (the mean speed) is far off while the quick ones
        // rattle: the whole move, and a few periods in which a stable orbit calms the quick ones.
        const bool affordable = orbit.passages + calming_periods + 3 <= settings.most_passages;
        if (fresh && step.left > 0.5 * before && leaps_left > 0 && affordable) {
            --leaps_left;
            const State& otherwise = step.passage.arrived ? step.start : orbit.start;
            orbit.start = calmed(map, map.moved(orbit.start, solver.solve(passage.remains)),
                                 otherwise, progress);
            orbit.passages += calming_periods;
            take_derivative();
            continue;
        }
        if (!step.passage.arrived) {
            orbit.why_not = "it does not repeat: no step towards a repeating motion gets anywhere";
            return passage;
        }
        orbit.start = std::move(step.start);
        passage = std::move(step.passage);
        fresh = false;
        if (!led_on) take_derivative();
    }
}

}  // namespace

Orbit find_orbit(const Driveline& line, const State& guess, const OrbitSettings& settings,
                 const Progress& progress) {
    if (settings.lead >= line.masses.size() || !(settings.angle > 0.0) ||
        !(settings.longest_period > 0.0) || !(line.masses[settings.lead].reference_speed > 0.0)) {
        throw ModelError("an orbit needs a lead that turns, an angle and a longest period");
    }
    for (const Input& input : line.inputs) {
        if (!std::holds_alternative<CrankTorque>(input.source) &&
            !std::holds_alternative<ConstantTorque>(input.source)) {
            throw ModelError(
                fmt::format("\"{}\" depends on time: its motion has no period in the "
                            "angle of an inertia",
                            input.name));
        }
    }
    Orbit orbit;
    orbit.start = guess;
    const double swing = swing_of(line, guess);
    for (int i = 0; i < starts && orbit.passages < settings.most_passages; ++i) {
        const PassageMap map(line, orbit.start, settings);
        const PassageMap::Passage passage = approach(map, swing, settings, progress, orbit);
        if (!orbit.why_not.empty() || !passage.arrived) return orbit;
        if (passage.end.mode != orbit.start.mode) {
            // The modes of the guess are not those of the orbit at this angle: try those it led to.
            orbit.start = passage.end;
            continue;
        }
        orbit.found = true;
        if (passage.grazed) orbit.edge = "grazing";
        orbit.monodromy = map.plain(passage);
        judge_stability(line, orbit);
        return orbit;
    }
    orbit.why_not = "it ends in other modes than it began with";
    return orbit;
}

}  // namespace damper
