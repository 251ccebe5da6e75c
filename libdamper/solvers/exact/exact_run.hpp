// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/contact_log.hpp"
#include "libdamper/solvers/exact/core_motion.hpp"
#include "libdamper/solvers/exact/free_motion.hpp"
#include "libdamper/solvers/exact/stretch_watcher.hpp"
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
/// exact_arrangement (who moves together), exact_guards (when a mode ends), exact_faces (when
/// rubbing faces stick and slip), exact_books (energy and contacts), exact_samples (what the sink
/// is given), exact_run (stepping).
///
/// Time goes in stretches. Over a stretch the core moves by one set of power series; a mode change
/// that does not touch the core (a gear that lets go of its tooth, drag that turns round) happens
/// inside a stretch, one that does ends it.
class ExactRun {
  public:
    ExactRun(const Driveline& line, const State& start, const TimeSettings& settings, Sink* sink,
             const Progress& progress, StretchWatcher* watcher, std::optional<AngleStop> stop);
    TimeOutcome run();

  private:
    static constexpr std::size_t most_terms = CoreMotion::stride;
    static constexpr std::size_t free_terms = 12;  ///< Of a series without the core; drag is slow.
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();
    static constexpr double never = std::numeric_limits<double>::infinity();

    /// What the run keeps about a branch.
    struct BranchBook {
        Stacked::BranchNow law;  ///< That the stretch was expanded with.
        Stacked::HeatNow heat_now;
        double heat = 0.0;           ///< [J]
        double mark = 0.0;           ///< Twist from which constant losses are still to be booked.
        double impulse = 0.0;        ///< Of a contact [N m s].
        double clear_until = 0.0;    ///< No guard fires before, as long as the caps hold [s].
        double fresh_at = -1.0;      ///< When a part of it switched last [s].
        bool coupled = false;        ///< Ties the motions of its inertias together.
        bool in_core = false;        ///< Touches an inertia of the core.
        bool mixed = false;          ///< Touches an inertia outside the core.
        std::size_t contact = none;  ///< Its part that counts impacts.
        double next = never;         ///< Where in the stretch a guard of it fires first.
        double searched = 1.0;       ///< How far in the stretch it has been looked for.
        std::size_t guard = 0;       ///< Which one, as index into Stacked::guards.
        std::array<double, most_terms> twist{};  ///< Its twist over the stretch …
        std::size_t terms = 0;                   ///< … and how many coefficients that has.
        std::int64_t stretch = -1;               ///< The stretch that it belongs to.
    };
    struct Twist {
        double delta = 0.0, rate = 0.0;
    };

    // exact_arrangement
    void tie(std::size_t branch, int change);
    void arrange();
    void list_core();
    void list_metered();
    void take_law(std::size_t branch);
    void set_free_law(std::size_t mass);
    [[nodiscard]] bool couples(std::size_t branch) const;
    void rebase();

    // exact_run
    bool stretch();
    void choose_phase(bool cut);
    [[nodiscard]] double wanted_length() const;
    [[nodiscard]] double bound_left() const;
    void leave(double s, double time);
    void fire(std::size_t branch);
    void count_switch(const std::string& name);
    void find_stop();
    void tell_move();
    [[nodiscard]] bool look_up();
    TimeOutcome finish();

    // exact_guards
    void hold_caps();
    void check_all();
    [[nodiscard]] bool clear_by_bounds(std::size_t b);
    void search(std::size_t b);
    void recheck(std::size_t b, bool alone);
    [[nodiscard]] bool stays_clear(std::size_t b, const Twist& start) const;
    [[nodiscard]] double clear_time(std::size_t b, const Twist& now) const;
    std::span<const double> twist_series(std::size_t b);
    [[nodiscard]] Twist twist_at_start(std::size_t b) const;
    [[nodiscard]] Twist twist_at(std::size_t b, double s);
    [[nodiscard]] double rounding_of(std::size_t b) const;
    [[nodiscard]] double acceleration_in(std::size_t b, bool in_stretch) const;

    // exact_faces
    void begin_faces();
    void check_faces();
    void fire_face(std::size_t face);

    // exact_books
    void move_free(std::size_t mass, double t);
    void book_stretch(double s_end);
    void book_contact(std::size_t b, double s_end);
    [[nodiscard]] double top_between(const Stacked::BranchNow& law, std::span<const double> twist,
                                     double s_end, double rises, double falls) const;
    void book_constant(std::size_t b, double delta);
    [[nodiscard]] EnergyBook books() const;

    // exact_samples
    void emit_samples(double until);
    void emit(double t, double s);

    /// Time as uniform rotation goes: angles deviate from reference_speed·clock.
    [[nodiscard]] double clock(double t) const { return t + stacked_.turn(); }
    [[nodiscard]] std::span<const RowEntry> row(std::size_t b) const {
        return line_.branches[b].row;
    }

    const Kernel& kernel_;
    const Driveline& line_;
    TimeSettings settings_;
    Sink* sink_;
    const Progress& progress_;
    StretchWatcher* watcher_;
    std::optional<AngleStop> stop_;
    State state_;
    Stacked stacked_;
    ContactLog log_;
    CoreMotion core_;
    std::vector<FreeMotion> free_;       ///< Of inertias outside the core.
    std::vector<double> angle_, speed_;  ///< Of the core at the start of the stretch.
    std::vector<double> acceleration_, input_, sample_angle_, sample_speed_, node_speed_;
    std::vector<double> cap_;  ///< Bound of the acceleration of core inertias [rad/s²].
    std::vector<BranchBook> book_;
    std::vector<std::vector<std::size_t>> branches_of_;  ///< Of each inertia.
    std::vector<int> ties_;  ///< How much holds each inertia in the core.
    std::vector<char> in_core_;
    std::vector<std::size_t> core_masses_, core_branches_;
    std::vector<std::size_t> guarded_;   ///< Branches that have guards in some mode.
    std::vector<std::size_t> due_;       ///< Those that bounds alone do not clear.
    std::vector<std::size_t> metered_;   ///< Core branches with losses that grow with the rate.
    std::vector<std::size_t> contacts_;  ///< Core branches whose impacts are counted.
    std::vector<double> work_, smooth_heat_;  ///< Of inputs, in smooth laws [J]
    struct FaceBook {
        double heat = 0.0;               ///< [J]
        double next = never;             ///< Where in the stretch it changes its mode …
        Rubbing to = Rubbing::sticking;  ///< … and to which.
    };
    std::vector<FaceBook> face_book_;
    std::vector<double> face_torque_;
    std::vector<double> kinks_, start_stored_, start_speed_;
    std::array<double, most_terms> guard_{};
    double time_ = 0.0, run_start_ = 0.0, top_speed_ = 1e-3;
    double from_ = 0.0, length_ = 0.0;  ///< Start and length of the stretch [s].
    double s_ = 0.0;                    ///< Where in the stretch time_ is.
    double phase_ = 1.0;                ///< Of the quickest motion in a stretch [rad].
    double horizon_ = 1.0;              ///< Where in the stretch the first guard fires so far.
    double limit_ = 1.0;                ///< How far the stretch may go before the run stops.
    double told_ = 0.0;                 ///< How far in the stretch the watcher has been told.
    std::vector<std::span<const double>> slopes_;  ///< Of inputs, for the watcher.
    bool ended_ = false;                           ///< The stretch has been left.
    bool stopped_ = false;                         ///< The angle asked for has been reached.
    std::size_t next_kink_ = 0;
    double last_switch_ = -1.0, window_end_ = 0.0;
    std::int64_t window_switches_ = 0, stretch_number_ = 0, next_sample_ = 0;
    int switches_here_ = 0;
    SolverReport report_;
};

}  // namespace damper
