// SPDX-License-Identifier: MIT
#include "libdamper/solvers/response/first_harmonic.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/numerics/false_position.hpp"

#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>

namespace damper {

namespace {

constexpr double pi = std::numbers::pi;
constexpr int cycles_at_most = 50;  // to settle; two do for sliders, some more in series
constexpr double settled = 1e-10;   // change of torque from cycle to cycle, of its swing
constexpr double balanced = 1e-12;  // mean torque, of its swing
constexpr int balance_steps_at_most = 200;

/// Integrals over a half cycle of the torque less a reference.
struct Sums {
    double plain = 0.0;   ///< ∫ τ dφ
    double sine = 0.0;    ///< ∫ τ sin φ dφ
    double cosine = 0.0;  ///< ∫ τ cos φ dφ
};

/// With u = sin φ and τ = a + b·u between two switches, rising half (φ from −π/2 to π/2):
/// ∫τ dφ = a·φ − b·cos φ, ∫τ sin φ dφ = −a·cos φ + b·(φ − u·cos φ)/2, ∫τ cos φ dφ = ∫τ du. In the
/// falling half sine keeps its course, and the first two change their sign.
void add(Sums& sums, const std::vector<QuasiStatic::Piece>& pieces, double mean, double amplitude,
         double reference, double sense) {
    // The ends are ±1 but for rounding, and there asin makes 1e-8 of 1e-16.
    const double rounding =
        4.0 * std::numeric_limits<double>::epsilon() * (1.0 + std::abs(mean) / amplitude);
    const auto share = [&](double twist) {
        const double u = (twist - mean) / amplitude;
        return std::abs(u) >= 1.0 - rounding ? std::copysign(1.0, u) : u;
    };
    for (const QuasiStatic::Piece& piece : pieces) {
        const double u0 = share(piece.from_twist);
        const double u1 = share(piece.to_twist);
        if (u0 == u1) continue;
        const double t0 = piece.from_torque - reference;
        const double t1 = piece.to_torque - reference;
        const double b = (t1 - t0) / (u1 - u0);
        const double a = t0 - b * u0;
        const double phi = std::asin(u1) - std::asin(u0);
        const double c0 = std::sqrt((1.0 - u0) * (1.0 + u0));
        const double c1 = std::sqrt((1.0 - u1) * (1.0 + u1));
        sums.plain += sense * (a * phi + b * (c0 - c1));
        sums.sine += sense * (a * (c0 - c1) + 0.5 * b * (phi - u1 * c1 + u0 * c0));
        sums.cosine += 0.5 * (t0 + t1) * (u1 - u0);
    }
}

}  // namespace

SwingingElement::SwingingElement(const Branch& branch, double mean_torque)
    : motion_(branch), mean_torque_(mean_torque) {
    motion_.rest(mean_torque);
    rest_twist_ = motion_.twist();
}

FirstHarmonic SwingingElement::about(double mean, double amplitude) {
    if (!(amplitude > 0.0) || !std::isfinite(amplitude)) {
        throw ModelError(fmt::format("a swing needs an amplitude above 0, not {} rad", amplitude));
    }
    motion_.rest(mean_torque_);
    const double high = mean + amplitude;
    const double low = mean - amplitude;
    double before = motion_.move_to(high);
    for (int cycle = 0;; ++cycle) {
        up_.clear();
        down_.clear();
        const double bottom = motion_.move_to(low, down_);
        const double top = motion_.move_to(high, up_);
        const double change = std::abs(top - before);
        before = top;
        // The first cycle only leads in.
        if (cycle > 0 && change <= settled * std::abs(top - bottom)) break;
        if (cycle > cycles_at_most) {
            throw SolverError(fmt::format("the loop of ±{:.6g} rad does not settle", amplitude),
                              0.0, "");
        }
    }
    Sums sums;
    add(sums, up_, mean, amplitude, before, 1.0);
    add(sums, down_, mean, amplitude, before, -1.0);
    return {.mean_twist = mean,
            .amplitude = amplitude,
            .mean_torque = before + sums.plain / (2.0 * pi),
            .in_phase = sums.sine / (pi * amplitude),
            .quadrature = sums.cosine / (pi * amplitude)};
}

FirstHarmonic SwingingElement::at(double amplitude) {
    FirstHarmonic here = about(rest_twist_, amplitude);
    const auto off = [&](const FirstHarmonic& one) { return one.mean_torque - mean_torque_; };
    const auto fits = [&](const FirstHarmonic& one) {
        const double swing = amplitude * std::hypot(one.in_phase, one.quadrature);
        return std::abs(off(one)) <= balanced * (swing + std::abs(mean_torque_));
    };
    if (fits(here)) return here;
    // The mean torque rises with the mean twist: widen until it is bracketed, then close in with
    // the false position of unequal weights (Illinois), which keeps the bracket.
    const double sense = off(here) > 0.0 ? -1.0 : 1.0;
    FirstHarmonic there = here;
    for (double step = 0.1 * amplitude; off(there) * sense < 0.0; step *= 2.0) {
        here = there;
        there = about(here.mean_twist + sense * step, amplitude);
        if (step > 1e3 * (1.0 + amplitude)) {
            throw SolverError(fmt::format("no mean twist holds {:.6g} N m at ±{:.6g} rad",
                                          mean_torque_, amplitude),
                              0.0, "");
        }
    }
    FalsePosition between{
        .a = here.mean_twist, .b = there.mean_twist, .at_a = off(here), .at_b = off(there)};
    for (int i = 0; i < balance_steps_at_most && between.a != between.b; ++i) {
        const double next = between.next();
        here = about(next, amplitude);
        const double value = off(here);
        if (fits(here) || next == between.a || next == between.b) break;
        between.take(next, value);
    }
    return here;
}

}  // namespace damper
