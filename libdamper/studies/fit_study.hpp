// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/describe/measured_table.hpp"
#include "libdamper/fit/compare_disc.hpp"
#include "libdamper/fit/fit_disc.hpp"
#include "libdamper/parts/disc.hpp"
#include "libdamper/results/fit_record.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace damper {

/// How the tables of a bench are written, as far as they do not say it themselves.
struct BenchTableOptions {
    std::string angle_unit, torque_unit;  ///< "deg", "N m"; empty: the file says it
    char separator = 0, decimal = 0;      ///< 0: found from the file
    bool has_options = false;             ///< The user may say these; messages then name them.
};

/// A run from a table of a torsion bench: columns "twist" and "torque" in the order in which they
/// were measured, or "twist", "torque rising" and "torque falling" as `damper loop --format csv`
/// writes them. Throws InputError with place, FileError.
struct BenchTable {
    BenchRun run;
    std::string sha256;
};
[[nodiscard]] BenchTable read_bench_table(const std::filesystem::path& file,
                                          const BenchTableOptions& options);

struct FitSettings {
    FitOptions options;
    DiscTolerances tolerances;
    std::string name, title, command_line;
};

/// A disc from the tables of a bench, compared with `nominal` if there is one.
struct FitOutcome {
    FitRecord record;
    Disc disc;  ///< Complete: what a loop cannot show is taken from `nominal`, or typical
    std::vector<std::string> remarks;  ///< For each key of the disc file that is no measured figure
};
[[nodiscard]] FitOutcome fit_bench(const std::vector<BenchTable>& tables,
                                   const std::optional<Disc>& nominal, const FitSettings& settings);

}  // namespace damper
