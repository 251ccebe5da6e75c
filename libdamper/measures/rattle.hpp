// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/engine_orders.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"

#include <complex>
#include <string>
#include <vector>

namespace damper {

/// What the loose gears do at idle: whether they can lift off, and how often and how hard they
/// strike. Fills `Measured::gear_impacts`.
///
/// How closely the impacts keep time with the firing is |Σ E_i e^(jφ_i)|/Σ E_i over the energies
/// lost, φ_i the firing order times the crank angle at the impact: 1 if all impacts fall on the
/// same phase, near 0 if they are spread evenly; 0 without impacts.
class Rattle {
  public:
    Rattle() = default;
    /// `elements` are the names that Impact::element numbers.
    Rattle(const RunFacts& facts, const std::vector<std::string>& elements);

    /// An impact from the beginning of the measured time on; others than loose gears' are passed
    /// over.
    void add(const Impact& impact);
    /// `duration` is the time that is measured [s].
    void tell(const RunFacts& facts, const EngineOrders& orders, double duration,
              Measured& measured) const;

  private:
    struct Gear {
        ImpactSums impacts;
        std::complex<double> phase;  ///< Σ E e^(jφ) [J]
    };
    std::vector<int> gear_of_element_;
    std::vector<Gear> gears_;
    double firing_order_ = 0.0;
};

/// J·u·α̂/T: inertia torque of a loose gear at the input shaft's acceleration amplitude α̂ [rad/s2]
/// over the drag that holds it; the gear lifts off its driver where this passes 1. 0 for a gear
/// without drag.
///
/// Source of the criterion: T. G. Brosey, R. L. Seaman, C. E. Johnson, R. F. Hamilton (1986),
/// Effect of transmission design on gear rattle and shiftability, Int. J. Vehicle Design 7(1/2),
/// 45–66 (abstract read: input acceleration, inertia and drag decide). The value 1 follows from
/// the gear's equation of motion.
[[nodiscard]] double threshold_ratio(const RunFacts::LooseGear& gear, double amplitude);

}  // namespace damper
