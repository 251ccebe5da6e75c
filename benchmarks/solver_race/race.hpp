// SPDX-License-Identifier: MIT
#pragma once

#include "benchmarks/solver_race/drivelines.hpp"
#include "benchmarks/solver_race/errors.hpp"
#include "benchmarks/solver_race/timing.hpp"
#include <optional>
#include <vector>

namespace damper::benchmarks {

struct RaceSettings {
    double span = 0.2;  ///< Length of the timed runs [s].
    Rounds rounds;
    bool every_tolerance = false;  ///< Or only those that the comparison needs.
};

/// One line of a driveline's table.
struct RaceRow {
    Entrant entrant;
    bool is_match = false;  ///< Its tolerance was looked for to meet `matched`.
    bool ended = true;      ///< False if it gave up on the way: no numbers then.
    double time = 0.0;      ///< Processor time of the timed run [s].
    long steps = 0, switches = 0;
    double short_error = 0.0, long_error = 0.0;          ///< Against the exact run.
    double short_from_best = 0.0, long_from_best = 0.0;  ///< Against the family's tightest run.
};

/// What a driveline gave.
struct RaceResult {
    RaceCase entry;
    Course exact;               ///< Over the timed span, with samples.
    std::vector<RaceRow> rows;  ///< The exact run first.

    [[nodiscard]] double exact_time() const { return rows.front().time; }
    /// Of the loosest tolerance that meets `matched`; none if none does.
    [[nodiscard]] const RaceRow* match(Family family) const;
    [[nodiscard]] const RaceRow* at(Family family, double tolerance) const;
};

[[nodiscard]] RaceResult race(const RaceCase& entry, const RaceSettings& settings);

}  // namespace damper::benchmarks
