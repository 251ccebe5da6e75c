// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/run_record.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// The largest torque of an engine at full load [N m].
[[nodiscard]] double largest_torque(const Engine& engine);

/// What gauges, scales and the engine's own data show on the vehicle, nothing removed: idle speed,
/// mass, engine speed per road speed, lash at the wheel, roll of the engine, full-load torque,
/// run-down of the input shaft, cranking speed, load of the consumers, weakest cylinder, force on
/// the release bearing, way of the driver with speed and pedal. What the vehicle has not is left
/// out. The gear is the scenario's; in neutral the lowest.
[[nodiscard]] std::vector<MeasureValue> gauge_figures(const Scenario& scenario);

/// What the clutch shows when cover, disc and facings lie on the bench: those of study_cover(), and
/// the spring's deflection as the height of the fingers shows it. Empty without cover and facings.
[[nodiscard]] std::vector<MeasureValue> press_figures(const Scenario& scenario);

/// Torque at which the clutch begins to slip as it is fitted, warm and hot: what the engine's data
/// show when it slips under load. A clutch that holds shows no more than the engine's largest
/// torque. Empty without cover and facings.
[[nodiscard]] std::vector<MeasureValue> held_figures(const Scenario& scenario);

/// What the disc shows when it is turned slowly to and fro, at torques that are shares of
/// `reference` [N m], the largest of the sound engine. NaN where the loop does not get there.
[[nodiscard]] std::vector<MeasureValue> disc_bench_figures(const DiscLoop& loop, double reference);

/// Names and units of all figures above but those of study_cover().
[[nodiscard]] std::vector<std::pair<std::string, std::string>> known_workshop_figures();

/// Shares of the reference torque that a loop must reach for the figures, by name, on the side that
/// they look at: positive drive, negative coast.
struct BenchReach {
    const char* figure;
    double drive, coast;
};
[[nodiscard]] const std::vector<BenchReach>& disc_bench_reaches();

}  // namespace damper
