// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// One recorded quantity on the time axis of its set.
struct Signal {
    std::string name;       ///< Short and stable: "input_shaft_speed".
    std::string units;      ///< Readable by UDUNITS: "rad/s", "N.m", "m/s2".
    std::string long_name;  ///< For people: "Gearbox input shaft speed".
    std::vector<double> values;
};

/// Signals that share one uniformly spaced time axis.
class SignalSet {
  public:
    std::vector<double> time;  ///< [s], uniform.
    std::vector<Signal> signals;

    [[nodiscard]] bool has(std::string_view name) const;
    /// Throws ModelError if there is no such signal.
    [[nodiscard]] const Signal& at(std::string_view name) const;
    /// The values of a signal from `start` [s] on; empty if the run ended before.
    [[nodiscard]] std::span<const double> from(std::string_view name, double start) const;
    /// Index of the first sample at or after `start` [s].
    [[nodiscard]] std::size_t index_at(double start) const;
    /// Spacing of the axis [s]; 0 with fewer than two samples.
    [[nodiscard]] double step() const;
};

}  // namespace damper
