// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/exact/core_motion.hpp"
#include "libdamper/solvers/exact/free_motion.hpp"
#include "libdamper/solvers/exact/torque_series.hpp"
#include "libdamper/solvers/solver.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace damper {

/// One run of the exact solver; see solve_exact. Its parts, a file each:
/// exact_arrangement (who moves together), exact_guards (when a mode ends), exact_books (energy and
/// contacts), exact_run (stepping).
class ExactRun {
  public:
    ExactRun(const Driveline& line, const State& start, const TimeSettings& settings, Sink* sink,
             const Progress& progress);
    TimeOutcome run();

  private:
    /// Of a free inertia's series; its drag is slow.
    static constexpr std::size_t free_terms = 12;
    using Coefficients = std::array<double, CoreMotion::most_orders + 1>;
    /// A guard that ends its mode at s of the step.
    struct Fired {
        std::size_t branch = 0;
        std::size_t guard = 0;  ///< Index into Stacked::guards(branch).
        double s = 0.0;
    };
    /// What the run keeps about a branch.
    struct BranchBook {
        Stacked::HeatNow heat_now;
        double heat = 0.0;           ///< [J]
        double mark = 0.0;           ///< Twist from which constant losses are still to be booked.
        double impulse = 0.0;        ///< Of a contact [N m s].
        double clear_until = 0.0;    ///< No guard fires before, as long as the caps hold [s].
        bool fresh = false;          ///< A part of it has just switched.
        bool mixed = false;          ///< Touches an inertia outside the core.
        std::size_t contact = none;  ///< Its part that counts impacts.
    };
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    void arrange();
    void refresh(std::size_t branch);
    void set_free_law(std::size_t mass);
    [[nodiscard]] bool couples(std::size_t branch) const;

    bool step();
    [[nodiscard]] double wanted_step() const;
    void hold_caps();
    [[nodiscard]] std::optional<Fired> first_firing(double h);
    void check_branch(std::size_t b, double h, std::optional<Fired>& first);
    [[nodiscard]] double clear_time(std::size_t b, std::span<const double> delta, double h) const;
    std::size_t twist_series(std::size_t b, double h, Coefficients& delta);
    [[nodiscard]] double bound_left() const;
    void book_step(double h, double s_end);
    void book_contact(std::size_t b, double h, double s_end);
    void list_metered();
    void fire(const Fired& fired);
    void book_constant(std::size_t b, double delta);
    void move_free(std::size_t mass, double t);
    void emit_samples(double h, double until);
    void emit(double t, double s);
    [[nodiscard]] double twist_now(std::size_t b) const;
    [[nodiscard]] double rate_now(std::size_t b) const;
    void meet(std::size_t b);
    void rebase();
    /// Time as uniform rotation goes: angles deviate from reference_speed·clock().
    [[nodiscard]] double clock() const { return time_ + stacked_.turn(); }
    bool look_up();
    TimeOutcome finish();
    [[nodiscard]] EnergyBook books() const;

    const Driveline& line_;
    TimeSettings settings_;
    Sink* sink_;
    const Progress& progress_;
    State state_;
    Stacked stacked_;
    ContactLog log_;
    std::vector<TorqueSeries> series_;
    CoreMotion core_;
    std::vector<FreeMotion> free_;       ///< Of inertias outside the core.
    std::vector<double> angle_, speed_;  ///< Of the core now; of free inertias when last met.
    std::vector<double> acceleration_, input_;
    std::vector<double> cap_;  ///< Bound of the acceleration of core inertias [rad/s²].
    std::vector<BranchBook> book_;
    std::vector<std::vector<std::size_t>> branches_of_;  ///< Of each inertia.
    std::vector<std::size_t> core_masses_, core_branches_;
    std::vector<std::size_t> metered_;   ///< Core branches with losses that grow with the rate.
    std::vector<std::size_t> contacts_;  ///< Core branches whose impacts are counted.
    std::vector<double> node_speed_;
    std::vector<bool> in_core_, wanted_, coupled_;
    std::vector<double> sample_angle_, sample_speed_;
    double rounding_ = 0.0;  ///< What rounding of angles leaves of the twist looked at last [rad].
    std::vector<double> work_;  ///< Of inputs [J]
    std::vector<double> kinks_, start_stored_, start_speed_;
    Coefficients delta_{}, part_{}, guard_{};
    double time_ = 0.0, run_start_ = 0.0, top_speed_ = 1e-3;
    double window_end_ = 0.0;
    std::int64_t window_switches_ = 0;
    std::int64_t next_sample_ = 0;
    int switches_here_ = 0;
    SolverReport report_;
};

}  // namespace damper
