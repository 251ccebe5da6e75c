// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// Band in which a vehicle judders [Hz]: 5 to 20, D. Centea, H. Rahnejat, M. T. Menday, Non-linear
/// multi-body dynamic analysis for the study of clutch torsional vibrations (judder), Appl. Math.
/// Modelling 25, 2001 (abstract).
inline constexpr double judder_low = 5.0;
inline constexpr double judder_high = 20.0;

/// Surface rise of a thick plate under a heat flux [W/m²] that is constant over each of equal bins
/// of `step` [s], at the end of each bin [K]:
///
///     ΔT(t) = 1/(e·√π)·∫₀ᵗ q(s)/√(t − s) ds,  e = √(k·ρ·c)
///
/// Source: H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd edition, section 2.9.
[[nodiscard]] std::vector<double> surface_rise(std::span<const double> flux, double step,
                                               double effusivity);

/// An acceleration between 5 and 20 Hz, without phase shift: the slow course of a take-up is taken
/// off with what lies below.
[[nodiscard]] std::vector<double> judder_band(std::span<const double> acceleration, double step);

/// How a clutch takes a vehicle up from rest: slip, heat, judder. Keeps the samples of the run,
/// since filters without phase shift must see all of it; that memory is used again.
class TakeUpCourse {
  public:
    void start();
    void add(const RunSample& sample);
    void tell(const RunFacts& facts, double step, Measured& measured) const;

  private:
    /// Samples first … last, one past the end.
    struct Window {
        std::size_t first = 0, last = 0;
        [[nodiscard]] std::size_t size() const { return last > first ? last - first : 0; }
    };
    void tell_slip(const RunFacts& facts, double step, Measured& measured) const;
    void tell_heat(const ClutchFacts& clutch, double step, double energy, Measured& measured) const;
    void tell_mode(const RunFacts& facts, Measured& measured) const;
    void tell_judder(double step, Measured& measured) const;
    void tell_slip_order(Window judder, std::span<const double> band, double step,
                         Measured& measured) const;
    [[nodiscard]] Window slips() const;

    std::vector<double> time_, acceleration_, torque_, slip_, angle_, clamp_, vehicle_, engine_;
};

}  // namespace damper
