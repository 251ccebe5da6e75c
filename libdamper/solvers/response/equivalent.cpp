// SPDX-License-Identifier: MIT
#include "libdamper/solvers/response/equivalent.hpp"

#include "libdamper/numerics/false_position.hpp"

#include <cmath>
#include <utility>

namespace damper {

namespace {

constexpr double lowest = 1e-9;  // rad; a washer gives way at 1e-4 and more
constexpr double highest = 10.0;
constexpr int points_a_decade = 20;
constexpr double close_enough = 1e-12;  // of the amplitude
constexpr int steps_at_most = 200;

DynamicStiffness taken_out(Linearised linear, std::size_t element) {
    replace_element(linear, element, 0.0, 0.0);
    return {linear.mass, linear.damping, linear.stiffness};
}

}  // namespace

EquivalentLine::EquivalentLine(Linearised linear, const Branch& branch, std::size_t element,
                               double mean_torque)
    : linear_(std::move(linear)),
      index_(element),
      own_damping_(branch.damping),
      element_(branch, mean_torque),
      without_(taken_out(linear_, element)) {
    const auto points =
        static_cast<int>(std::lround(points_a_decade * std::log10(highest / lowest)));
    for (int i = 0; i <= points; ++i) {
        const double share = static_cast<double>(i) / points_a_decade;
        table_.push_back(element_.at(lowest * std::pow(10.0, share)));
    }
}

double EquivalentLine::met(const Open& open, const FirstHarmonic& harmonic) const {
    const std::complex<double> stiffness(harmonic.in_phase,
                                         harmonic.quadrature + open.frequency * own_damping_);
    return std::abs(open.twist / (1.0 + stiffness * open.compliance));
}

EquivalentSwing EquivalentLine::swing(const Open& open, const FirstHarmonic& harmonic) const {
    return {.amplitude = harmonic.amplitude,
            .mean_twist = harmonic.mean_twist,
            .stiffness = harmonic.in_phase,
            .damping = harmonic.quadrature / open.frequency + own_damping_,
            .mismatch = std::abs(met(open, harmonic) / harmonic.amplitude - 1.0),
            .passing = false};
}

/// Between two amplitudes with unequal signs of log(|δ(A)|/A), by false position that keeps the
/// bracket (Illinois).
FirstHarmonic EquivalentLine::root(const Open& open, double low, double high) {
    const auto off = [&](const FirstHarmonic& one) {
        return std::log(met(open, one) / one.amplitude);
    };
    FirstHarmonic best = element_.at(low);
    FalsePosition between{
        .a = std::log(low), .b = std::log(high), .at_a = off(best), .at_b = off(element_.at(high))};
    for (int i = 0; i < steps_at_most && std::abs(between.b - between.a) > close_enough; ++i) {
        const double next = between.next();
        best = element_.at(std::exp(next));
        const double value = off(best);
        if (std::abs(value) <= close_enough) break;
        between.take(next, value);
    }
    return best;
}

std::vector<EquivalentSwing> EquivalentLine::swings(double frequency,
                                                    const Eigen::VectorXcd& torque) {
    without_.set(frequency);
    const Eigen::VectorXcd row = linear_.elements[index_].row.cast<std::complex<double>>();
    const Open open{.frequency = frequency,
                    .twist = row.dot(without_.angles(torque)),
                    .compliance = row.dot(without_.angles(row))};
    std::vector<EquivalentSwing> found;
    const auto grows = [&](std::size_t i) { return met(open, table_[i]) > table_[i].amplitude; };
    if (!grows(0)) {
        // Smaller than anything looked at: the element is as it is at the smallest, and so linear.
        FirstHarmonic stuck = table_.front();
        stuck.amplitude = met(open, stuck);
        found.push_back(swing(open, stuck));
    }
    bool before = grows(0);
    for (std::size_t i = 1; i < table_.size(); ++i) {
        const bool now = grows(i);
        if (now != before) {
            const FirstHarmonic here = root(open, table_[i - 1].amplitude, table_[i].amplitude);
            found.push_back(swing(open, here));
            found.back().passing = now;
        }
        before = now;
    }
    if (before) {  // beyond all that was looked at: nothing holds it; told by the mismatch
        found.push_back(swing(open, table_.back()));
    }
    return found;
}

Linearised EquivalentLine::with(const EquivalentSwing& swing) const {
    Linearised out = linear_;
    replace_element(out, index_, swing.stiffness, swing.damping);
    return out;
}

}  // namespace damper
