// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/progress.hpp"
#include "libdamper/driveline/driveline.hpp"
#include "libdamper/driveline/stacked.hpp"
#include "libdamper/signals/energy_book.hpp"
#include "libdamper/signals/event_table.hpp"
#include "libdamper/signals/solver_report.hpp"

#include <span>

namespace damper {

/// What a time solver is asked for.
struct TimeSettings {
    double end = 0.0;            ///< [s], > start of the state
    double sample_step = 5e-5;   ///< Spacing of the samples given to the sink [s], > 0
    double tolerance = 1e-8;     ///< Relative to the largest speeds met; 1e-13…1e-5
    double largest_step = 1e-3;  ///< [s]; bounds what a guard may do unseen inside a step
    /// Inertia whose whole angle goes into Impact::crank_angle; −1: none, and the angle stays 0.
    /// It must carry an input.
    int crank = -1;
};

/// The driveline at a sample. Views into the solver's memory, valid during the call only.
struct Instant {
    double time = 0.0;  ///< [s]
    /// Deviations from uniform rotation, which `stacked` may have turned on [rad]
    std::span<const double> angle;
    std::span<const double> speed;             ///< Deviations [rad/s]
    std::span<const double> acceleration;      ///< [rad/s²]
    std::span<const double> input;             ///< Torque of each input [N m]
    std::span<const double> face_torque = {};  ///< Of each pair of rubbing faces [N m]
    const Stacked* stacked = nullptr;          ///< In its present modes.
};

/// Takes what a solver produces while it runs: counts, records or forgets; decides nothing. Nothing
/// of it is kept by the solver. Elements and modes are numbered as in event_names().
class Sink {
  public:
    virtual ~Sink() = default;
    virtual void sample(const Instant& instant) = 0;
    /// A part of an element changes its mode; in order of time.
    virtual void change(const ModeChange& change) { (void)change; }
    /// A contact is over, or the run ends in it: impacts come in the order of their end.
    virtual void impact(const Impact& impact) { (void)impact; }
};

/// A table with the names of elements (parts) and modes, and no events.
[[nodiscard]] EventTable event_names(const Driveline& line);

/// Where a run ended and what happened on the way.
struct TimeOutcome {
    State end;
    EnergyBook energy;
    SolverReport
        report;  ///< `complete` is false after a stop request or a failure; why in warnings.
};

/// What a solver has summed up when a run is over. Energies in J.
struct EnergySums {
    std::span<const double> heat;                       ///< Of each branch.
    std::span<const double> stored_before, stored_now;  ///< Of each branch.
    std::span<const double> smooth_heat;                ///< Of each smooth law.
    std::span<const double> face_heat = {};             ///< Of each pair of rubbing faces.
    std::span<const double> work;                       ///< Of each input.
    std::span<const double> speed_before, speed_now;    ///< Deviations of the inertias [rad/s].
};

/// The sums as rows of a book, under the elements' names; what the inertias gained in kinetic
/// energy is the row "inertias".
[[nodiscard]] EnergyBook energy_book(const Driveline& line, const EnergySums& sums);

}  // namespace damper
