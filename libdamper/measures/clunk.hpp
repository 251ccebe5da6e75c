// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"

#include <string>
#include <vector>

namespace damper {

/// How the lashes in the path of the driving torque close after a change of torque. Referred to
/// the input shaft, so that lashes of different shafts compare. Fills `Measured::gear_impacts`.
class Clunk {
  public:
    Clunk() = default;
    /// `elements` are the names that Impact::element numbers.
    Clunk(const RunFacts& facts, const std::vector<std::string>& elements);

    /// An impact that touches once the change has begun; elements that are no lash of these facts
    /// are passed over.
    void add(const Impact& impact);
    /// `end` is the time of the last sample, `duration` the time from the change to it [s].
    void tell(const RunFacts& facts, double end, double duration, Measured& measured) const;

  private:
    struct Lash {
        ImpactSums impacts;
        double impulse = 0.0;       ///< Largest of the contacts that have parted [N m s].
        double last_impulse = 0.0;  ///< Of the last contact: whether it parted, the end tells.
        double last_end = 0.0;      ///< [s]
    };
    std::vector<int> place_of_element_;
    std::vector<Lash> lashes_;  ///< Loose gears, then loaded lashes.
};

}  // namespace damper
