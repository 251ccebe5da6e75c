// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/results/response_record.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/studies/operating_point.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// What a frequency response is asked for. Everything left out has a default.
struct ResponseSettings {
    OperatingSettings point;             ///< Its friction is not used.
    std::string from = "engine torque";  ///< Or the name of an inertia that the torque acts on.
    /// Names of inertias or elements; empty: flywheel, gearbox input and, in gear, drive shafts.
    std::vector<std::string> to;
    std::string quantity;  ///< See place_called(); empty: its default.
    /// "slips", "sticks", "equivalent"; empty: "equivalent" where it can be told, else "slips".
    std::string friction;
    double low = 1.0;     ///< [Hz], 0.01…5000
    double high = 200.0;  ///< [Hz], > low, 0.02…10000
    /// Amplitude of the torque in equivalent linearisation [N m], over the whole band. Left out:
    /// that of the engine at the firing order, at its speed and mean torque.
    std::optional<double> swing;
    std::string command_line;
};

/// Frequency response of the driveline about its operating point, isolation of the disc in each of
/// its stages, and the disc as it is at the swing it meets.
///
/// The frequencies are 200 a decade, evenly in their logarithm, and more about each mode.
/// Nothing if it was asked to stop on the way.
/// Throws InputError if there is no such gear, stage, name or band, or if equivalent linearisation
/// is asked for where it cannot be made.
[[nodiscard]] std::optional<ResponseRecord> frequency_response(const Scenario& scenario,
                                                               const ResponseSettings& settings,
                                                               const Progress& progress = {});

}  // namespace damper
