// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <complex>

namespace damper {

/// e^(j·order·angle) from e^(j·angle/2), by multiplication: the same numbers wherever orders are
/// told, and one pair of trigonometric functions for any number of them. `half_orders` ≥ 0 is twice
/// the order.
[[nodiscard]] inline std::complex<double> turned(std::complex<double> half, int half_orders) {
    // Products by hand: those of std::complex look for infinities.
    double c = 1.0;
    double s = 0.0;
    for (int i = 0; i < half_orders; ++i) {
        const double next = c * half.real() - s * half.imag();
        s = s * half.real() + c * half.imag();
        c = next;
    }
    return {c, s};
}

/// Basis of a least-squares fit of one order: Σ over the samples of 1, cos, sin and their products.
struct OrderBasis {
    double count = 0.0;
    double c = 0.0, s = 0.0, cc = 0.0, cs = 0.0;

    void add(std::complex<double> turned, double weight = 1.0) {
        count += weight;
        c += weight * turned.real();
        s += weight * turned.imag();
        cc += weight * turned.real() * turned.real();
        cs += weight * turned.real() * turned.imag();
    }
};

/// Right side of the fit for one signal: Σ of the signal times 1, cos, sin.
struct OrderSums {
    double v = 0.0, vc = 0.0, vs = 0.0;

    void add(double value, std::complex<double> turned, double weight = 1.0) {
        v += weight * value;
        vc += weight * value * turned.real();
        vs += weight * value * turned.imag();
    }
};

/// Amplitude (0 to peak) of one order of a signal over crank angle: least squares of
/// mean + a·cos(order·φ) + b·sin(order·φ), every sample counting alike. `turn` is the mean of
/// order·φ from sample to sample [rad]: at and above half the sampling frequency (π) an order
/// cannot be told from its mirror image, and the amplitude is 0. So it is with fewer than four
/// samples.
[[nodiscard]] double amplitude(const OrderBasis& basis, const OrderSums& sums, double turn);

/// Order one half of a signal whose mean drifts, over crank angle.
///
/// A fit over whole cycles takes a drift for an order: a signal that rises by d over n cycles gets
/// d/(π·n) at order ½, which is more than an even engine has. Here the samples are weighted by a
/// window that rises over the first two cycles, falls over the last two and is even between: the
/// sum of quadratic B-splines three cycles long that begin at every cycle. The transform of a
/// spline is (sin x/x)³, x = π·frequency·cycle: its zeros at all half orders are threefold, so that
/// a mean that is linear or quadratic in angle leaks nothing, a slow swing next to nothing.
/// C. de Boor, A Practical Guide to Splines, 1978, chapter IX (uniform B-splines; recalled).
class DriftFreeHalfOrder {
  public:
    /// `half` is e^(j·angle/2). Angles must not fall.
    void add(double angle, double value, std::complex<double> half);
    /// Takes the spline in that one more sample would complete, as WholeCycles::complete_at_end.
    void finish();
    /// False with less than three cycles: then there is no window.
    [[nodiscard]] bool any() const { return whole_.basis.count > 0.0; }
    /// Amplitude, 0 to peak; `turn` as for amplitude().
    [[nodiscard]] double amplitude(double turn) const;

  private:
    struct Sums {
        OrderBasis basis;
        OrderSums sums;
        void add(const Sums& other);
    };
    void begin_cycle();

    bool begun_ = false;
    double first_ = 0.0, before_ = 0.0, last_ = 0.0;
    long cycle_ = 0;
    std::array<Sums, 3> open_;  ///< Splines that began in this cycle, the one before, and before.
    Sums whole_;
};

/// Counts whole engine cycles (two revolutions, 4π) by crank angle, from the first sample on.
///
/// The samples of k whole cycles are those from the first up to, not including, the first that lies
/// 4π·k behind it; who keeps sums keeps those as they stood then.
class WholeCycles {
  public:
    /// To be told of each sample before it is summed: true if the sums so far make whole cycles.
    bool completes(double angle);
    /// True if one more sample, as far behind the last as that behind the one before, would
    /// complete a cycle: the last sample stands for the interval behind it.
    [[nodiscard]] bool complete_at_end() const;
    /// Mean step of the angle from sample to sample [rad]; 0 with fewer than two.
    [[nodiscard]] double mean_step() const;

  private:
    double samples_ = 0.0, cycles_ = 0.0;
    double first_ = 0.0, before_ = 0.0, last_ = 0.0, bound_ = 0.0;
};

}  // namespace damper
