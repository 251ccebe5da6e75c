// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/studies/cause_vehicles.hpp"
#include "libdamper/studies/measure_one.hpp"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Figures that come from one place: "run", "gauges", "press" or "disc bench".
struct ShownFigures {
    std::string shown_by;
    std::vector<MeasureValue> figures;
};

/// Gives everything that can be measured of vehicles of one complaint, as far as its figures ask
/// for it: measures of the run, gauges, press, disc bench. One a thread.
class ComplaintBench {
  public:
    /// Reads the sound vehicle. Throws InputError. The references must outlive it.
    ComplaintBench(const ComplaintKind& kind, const ComplaintRun& run, const VehiclesAsked& asked);

    /// Of the vehicle with these changes on top of the run's own. Throws InputError, SolverError,
    /// ModelError.
    [[nodiscard]] std::vector<ShownFigures> figures(
        const std::vector<std::pair<std::string, std::string>>& changes, const Progress& stop);

    [[nodiscard]] bool has_run() const { return reader_ != nullptr; }
    /// Largest torque of the sound engine [N m]: what the disc bench refers to.
    [[nodiscard]] double reference_torque() const { return reference_; }

  private:
    [[nodiscard]] Scenario read(
        const std::vector<std::pair<std::string, std::string>>& changes) const;

    const ComplaintRun& run_;
    const VehiclesAsked& asked_;
    bool gauges_ = false, held_ = false, press_ = false, disc_ = false;
    double reference_ = 0.0;
    std::vector<std::pair<std::string, std::string>> own_;
    std::unique_ptr<ScenarioReader> reader_;
    RunMeasures workspace_;
};

}  // namespace damper
