// SPDX-License-Identifier: MIT
#include "libdamper/solvers/modes/natural_modes.hpp"

#include "libdamper/numerics/row_modes.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace damper {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXcd;
using Eigen::VectorXd;

MatrixXd stacked_rows(const std::vector<VectorXd>& rows, Index n) {
    MatrixXd out(static_cast<Index>(rows.size()), n);
    for (std::size_t i = 0; i < rows.size(); ++i) out.row(static_cast<Index>(i)) = rows[i];
    return out;
}

/// The rows of all elements, in their order: g·φ is what a shape twists them by.
MatrixXd twist_rows(const Linearised& linear) {
    MatrixXd out(static_cast<Index>(linear.elements.size()), linear.mass.size());
    for (std::size_t e = 0; e < linear.elements.size(); ++e) {
        out.row(static_cast<Index>(e)) = linear.elements[e].row;
    }
    return out;
}

VectorXd stiffness_of(const Linearised& linear) {
    VectorXd out(static_cast<Index>(linear.elements.size()));
    for (Index e = 0; e < out.size(); ++e) {
        out(e) = linear.elements[static_cast<std::size_t>(e)].stiffness;
    }
    return out;
}

VectorXd damping_of(const Linearised& linear) {
    VectorXd out(static_cast<Index>(linear.elements.size()));
    for (Index e = 0; e < out.size(); ++e) {
        out(e) = linear.elements[static_cast<std::size_t>(e)].damping;
    }
    return out;
}

struct Rows {
    RowSystem system;
    std::vector<Index> element;  ///< Of each spring.
};

Rows rows_of(const Linearised& linear) {
    Rows out;
    std::vector<VectorXd> springs;
    std::vector<VectorXd> held;
    for (std::size_t e = 0; e < linear.elements.size(); ++e) {
        const LinearElement& element = linear.elements[e];
        if (element.stiffness > 0.0) {
            springs.emplace_back(std::sqrt(element.stiffness) * element.row);
            out.element.push_back(static_cast<Index>(e));
        } else if (element.ties_speeds && element.damping > 0.0) {
            held.push_back(element.row);
        }
    }
    const Index n = linear.mass.size();
    out.system = {.mass = linear.mass,
                  .springs = stacked_rows(springs, n),
                  .damping = linear.damping,
                  .held = stacked_rows(held, n)};
    return out;
}

NaturalMode mode_of(const RowModes& modes, Index at, const Rows& rows, Index elements) {
    NaturalMode mode;
    mode.frequency = modes.frequency(at);
    mode.shape = modes.shape.col(at);
    mode.kinetic_share = modes.kinetic_share.col(at);
    Index peak = 0;
    mode.kinetic_share.maxCoeff(&peak);
    if (mode.shape(peak) < 0.0) mode.shape = -mode.shape;
    mode.strain_share = VectorXd::Zero(elements);
    for (std::size_t s = 0; s < rows.element.size(); ++s) {
        mode.strain_share(rows.element[s]) = modes.strain_share(static_cast<Index>(s), at);
    }
    mode.by_stiffness = 0.5 * mode.frequency * mode.strain_share;
    mode.by_inertia = -0.5 * mode.frequency * mode.kinetic_share;
    return mode;
}

void measure_gaps(std::vector<NaturalMode>& modes) {
    for (std::size_t i = 0; i < modes.size(); ++i) {
        const double own = modes[i].frequency;
        for (const std::size_t other : {i - 1, i + 1}) {  // i − 1 of 0 is beyond the end
            if (other >= modes.size()) continue;
            const double gap = std::abs(modes[other].frequency - own) / own;
            modes[i].gap = std::min(modes[i].gap, gap);
        }
        modes[i].repeated = modes[i].gap < repeated_below;
    }
}

DampedCounterpart counterpart_of(const RowOscillation& oscillation, double likeness,
                                 const Linearised& linear) {
    const std::complex<double> lambda = oscillation.lambda;
    const VectorXcd& shape = oscillation.shape;
    const VectorXcd twist = twist_rows(linear).cast<std::complex<double>>() * shape;
    const VectorXd stiffness = stiffness_of(linear);
    const VectorXd damping = damping_of(linear);
    const VectorXcd square = twist.cwiseProduct(twist);
    const VectorXcd own =
        shape.cwiseProduct(shape).cwiseProduct(linear.mass.cast<std::complex<double>>());
    const VectorXcd damped = linear.damping.cast<std::complex<double>>() * shape;
    const std::complex<double> d = 2.0 * lambda * own.sum() + shape.cwiseProduct(damped).sum();

    DampedCounterpart out;
    out.lambda = lambda;
    out.shape = shape;
    out.likeness = likeness;
    out.damping_share = damping.cwiseProduct(twist.cwiseAbs2()) / (2.0 * std::abs(lambda));
    out.by_stiffness = -square.cwiseProduct(stiffness.cast<std::complex<double>>()) / d;
    out.by_damping = -lambda * square.cwiseProduct(damping.cast<std::complex<double>>()) / d;
    out.by_inertia = -lambda * lambda * own / d;
    return out;
}

/// Gives every undamped mode the oscillation that looks most like it, best pair first.
void match(const std::vector<RowOscillation>& oscillations, const Linearised& linear,
           std::vector<NaturalMode>& modes) {
    struct Pair {
        double likeness = 0.0;
        std::size_t mode = 0, oscillation = 0;
    };
    std::vector<Pair> pairs;
    for (std::size_t m = 0; m < modes.size(); ++m) {
        const VectorXd weighted = linear.mass.cwiseProduct(modes[m].shape);
        for (std::size_t o = 0; o < oscillations.size(); ++o) {
            const std::complex<double> common =
                weighted.cast<std::complex<double>>().dot(oscillations[o].shape);
            pairs.push_back({std::norm(common), m, o});
        }
    }
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const Pair& x, const Pair& y) { return x.likeness > y.likeness; });
    std::vector<bool> taken(oscillations.size(), false);
    for (const Pair& pair : pairs) {
        if (taken[pair.oscillation] || modes[pair.mode].damped) continue;
        taken[pair.oscillation] = true;
        modes[pair.mode].damped =
            counterpart_of(oscillations[pair.oscillation], pair.likeness, linear);
    }
}

}  // namespace

NaturalModes natural_modes(const Linearised& linear) {
    const Rows rows = rows_of(linear);
    const RowModes undamped = undamped_row_modes(rows.system);
    NaturalModes out;
    for (Index i = 0; i < undamped.frequency.size(); ++i) {
        if (undamped.frequency(i) == 0.0) {
            ++out.rigid_bodies;
            continue;
        }
        out.modes.push_back(mode_of(undamped, i, rows, static_cast<Index>(linear.elements.size())));
    }
    measure_gaps(out.modes);
    match(damped_row_modes(rows.system), linear, out.modes);
    return out;
}

}  // namespace damper
