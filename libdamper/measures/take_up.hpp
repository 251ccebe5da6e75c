// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/measures/turning_order.hpp"

#include <cstddef>
#include <span>
#include <vector>

namespace damper {

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
    void tell_turning_orders(Window judder, std::span<const double> band, double step,
                             Measured& measured) const;
    [[nodiscard]] Window slips() const;

    std::vector<double> time_, acceleration_, torque_, slip_, angle_, clamp_, vehicle_, engine_;
};

}  // namespace damper
