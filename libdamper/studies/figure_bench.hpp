// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <filesystem>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What figures are taken from: a vehicle in a run, or on its own.
struct FigureSource {
    std::filesystem::path scenario;  ///< Of a run; or empty.
    std::filesystem::path vehicle;   ///< That is looked at where there is no run; or empty.
    std::string name;                ///< Of the scenario or vehicle.
    ReadOptions options;
    /// Of the workshop besides the run: "gauges", "held" (torques held, of the gauges), "press",
    /// "disc bench"; see ComplaintFigure. Without run and press the clutch is
    /// calculated.
    std::set<std::string> places;
};

/// Figures that come from one place: "run", "gauges", "press", "disc bench" or "clutch".
struct ShownFigures {
    std::string shown_by;
    std::vector<MeasureValue> figures;
};

/// Everything that was measured of one vehicle.
struct BenchFigures {
    std::vector<ShownFigures> places;
    bool complete = true;       ///< The run came to its end.
    double engine_speed = 0.0;  ///< Mean at the start of the run [rad/s]; 0 without one.

    [[nodiscard]] bool has(const std::string& shown_by) const;
    /// Null if the place does not give it.
    [[nodiscard]] const MeasureValue* find(const std::string& shown_by,
                                           const std::string& name) const;
    /// From the first place that gives it.
    [[nodiscard]] const MeasureValue* find(const std::string& name) const;
    /// All, each name once, from the first place that gives it.
    [[nodiscard]] std::vector<MeasureValue> all() const;
};

/// Gives everything that can be measured of variants of one vehicle. One a thread.
class FigureBench {
  public:
    /// Throws InputError if the files or changes do not fit.
    explicit FigureBench(FigureSource source);

    /// With changes on top of those of the source. Throws InputError, SolverError, ModelError.
    [[nodiscard]] BenchFigures figures(
        const std::vector<std::pair<std::string, std::string>>& changes, const Progress& stop);

    /// Largest torque of the engine as described [N m]: what the disc bench refers to.
    [[nodiscard]] double reference_torque() const { return reference_; }

  private:
    [[nodiscard]] Scenario read(
        const std::vector<std::pair<std::string, std::string>>& changes) const;

    FigureSource source_;
    std::unique_ptr<ScenarioReader> reader_;
    RunMeasures workspace_;
    double reference_ = 0.0;
};

}  // namespace damper
