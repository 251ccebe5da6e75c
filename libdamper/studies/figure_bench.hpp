// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/measures/run_measures.hpp"
#include "libdamper/scenario/scenario.hpp"

#include <filesystem>
#include <memory>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What figures are taken from: a run in time, or a clutch that is calculated.
struct FigureSource {
    std::filesystem::path scenario;  ///< Of a run; or empty.
    std::filesystem::path vehicle;   ///< Whose clutch is calculated; or empty.
    std::string name;                ///< Of the scenario or clutch.
    ReadOptions options;
    /// Of the workshop besides: "gauges", "held" (torques held, of the gauges), "press",
    /// "disc bench"; see ComplaintFigure.
    std::set<std::string> places;
};

struct NamedFigure {
    std::string name, units, definition;
    double value = 0.0;
};

struct BenchFigures {
    std::vector<NamedFigure> figures;
    bool complete = true;       ///< The run came to its end.
    double engine_speed = 0.0;  ///< Mean at the start [rad/s]; 0 of a clutch.
};

/// Figures of variants of one source, whatever its scenario; one of these a thread. That of a
/// complaint with what its figures ask for is ComplaintBench.
class FigureBench {
  public:
    /// Throws InputError if the files or changes do not fit.
    explicit FigureBench(const FigureSource& source);

    /// With changes on top of those of the source. Throws InputError, SolverError, ModelError.
    BenchFigures figures(const std::vector<std::pair<std::string, std::string>>& changes,
                         const Progress& stop);

  private:
    [[nodiscard]] Scenario read(
        const std::vector<std::pair<std::string, std::string>>& changes) const;

    FigureSource source_;
    std::unique_ptr<ScenarioReader> reader_;
    RunMeasures workspace_;
    double reference_ = 0.0;  ///< Largest torque of the engine as described [N m].
};

/// Null if it is not among them.
[[nodiscard]] const NamedFigure* find_figure(const std::vector<NamedFigure>& all,
                                             const std::string& name);

}  // namespace damper
