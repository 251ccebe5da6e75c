// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/assemble/assembled.hpp"
#include "libdamper/scenario/scenario.hpp"
#include "libdamper/signals/solver_report.hpp"

#include "tests/peers/idle_car.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper::benchmarks {

/// Who takes part.
enum class Family {
    exact,    ///< solve_exact
    general,  ///< solve_general: Runge–Kutta 5(4) of Boost.Odeint with guards, books and impulses
    lean,     ///< The same method on the bare independent equations of tests/peers
    bdf,      ///< CVODE BDF on these equations
    adams,    ///< CVODE Adams on these equations
};
[[nodiscard]] std::string name_of(Family family);
/// All but the exact solver: those that have a tolerance.
[[nodiscard]] const std::vector<Family>& peers_of_exact();
/// Tolerances of the tables, the tightest last.
[[nodiscard]] const std::vector<double>& tolerances_of(Family family);

struct Entrant {
    Family family = Family::exact;
    double tolerance = 0.0;  ///< Not used by the exact solver.
};

/// A driveline ready to be integrated by any of them: what is not timed.
struct Prepared {
    explicit Prepared(const Scenario& scenario);
    Assembled assembled;
    State start;
    peers::IdleCar car;
};

/// What a run gave.
struct Course {
    std::vector<double> input_speed;  ///< Deviation from the mean at every sample [rad/s].
    long steps = 0;
    long switches = 0;
    std::vector<peers::Course::Touch> touches;  ///< Of the loose gears' teeth.
    std::size_t mode_sets = 0;  ///< Different sets of modes met; 0 where it is not known.
    SolverReport report;        ///< Of the two solvers of the library.
};

/// Runs up to `end` [s] with a sample every `step` [s]. Throws std::runtime_error if it does not
/// get there.
[[nodiscard]] Course run(const Prepared& prepared, const Entrant& entrant, double end, double step);

/// The same without samples: what is timed.
void run_silently(const Prepared& prepared, const Entrant& entrant, double end);

/// Versions of the libraries the peers come from, and of the compiler.
[[nodiscard]] std::string versions();

}  // namespace damper::benchmarks
