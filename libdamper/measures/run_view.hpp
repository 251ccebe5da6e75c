// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure_run.hpp"

#include <string>

namespace damper {

/// What every question is asked of: one run, seen through its facts.
struct RunView {
    const RunFacts& facts;
    const SignalSet& signals;
    const EventTable& events;

    /// Time that is measured [s]; 0 if the run ended before.
    [[nodiscard]] double duration() const;
    /// Crank speed over the time that is measured: mean of the flywheel speed over whole engine
    /// cycles [rad/s]; 0 if there is not one cycle.
    [[nodiscard]] double mean_speed() const;
};

void add(Measured& measured, std::string name, std::string units, Better better, double value,
         std::string definition);

}  // namespace damper
