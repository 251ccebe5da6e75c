// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/gear_impacts.hpp"
#include "libdamper/measures/measure.hpp"
#include "libdamper/measures/stage_use.hpp"
#include "libdamper/signals/energy_book.hpp"
#include "libdamper/signals/event_table.hpp"
#include "libdamper/signals/signal_set.hpp"
#include "libdamper/signals/solver_report.hpp"
#include "libdamper/signals/spectrum.hpp"
#include "libdamper/signals/speed_course.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <string>
#include <utility>
#include <vector>

namespace damper {

/// Where a run came from.
struct RunIdentity {
    std::string program_version;
    std::string command_line;
    std::string scenario;  ///< File name without extension: "car_idle_hot".
    std::string title;
    std::string origin;         ///< "invented for this project", …
    std::string vehicle;        ///< Title of the vehicle.
    std::string vehicle_class;  ///< "car", "light van", "medium truck", "heavy truck".
    std::string disc;           ///< Title of the disc.
    std::string manoeuvre;      ///< "idle", "tip in", … as descriptions call it.
    std::vector<std::pair<std::string, std::string>> conditions;  ///< Name, value with unit.
    std::vector<std::pair<std::string, std::string>> changes;     ///< Overridden key, value.
    std::vector<std::pair<std::string, std::string>> inputs;      ///< File, SHA-256 of its bytes.
    /// Key of a change and the cause that it belongs to.
    std::vector<std::pair<std::string, std::string>> causes{};
    std::string created;  ///< ISO 8601, UTC. Not compared between runs.
    std::string host;     ///< Not compared between runs.
};

/// The assembled driveline as plain tables: enough to write the equations of motion again.
///
///     J_i θ_i'' = −Σ_e g_ei τ_e + Σ_u b_ui u
///
/// Element e has the twist δ = Σ g θ. Its torque is that of a chain of cells in series (equal
/// torque, twists add up) plus `damping`·δ'. A cell is a set of parts in parallel (equal twist,
/// torques add up). A part is a table of modes; in a mode its torque is
/// spring·(δ − rest − memory_weight·z) + lost + lost_rate·δ'.
struct ModelTable {
    struct Inertia {
        std::string name;
        double inertia = 0.0;          ///< [kg m2]
        double reference_speed = 0.0;  ///< Uniform rotation that angles deviate from [rad/s].
    };
    struct Guard {
        double offset = 0.0, twist = 0.0, rate = 0.0,
               memory = 0.0;  ///< Fires when it falls below 0.
        int next = 0;         ///< Mode that follows.
        bool resets = false;  ///< Whether it sets the memory …
        double reset_offset = 0.0, reset_twist = 0.0, reset_memory = 0.0;  ///< … to this.
    };
    struct Mode {
        std::string label;
        double spring = 0.0, rest = 0.0, memory_weight = 0.0, energy_offset = 0.0;
        double lost = 0.0, lost_rate = 0.0;
        std::vector<Guard> guards;
    };
    struct Part {
        std::string name;
        std::string kind;  ///< "spring", "slider", "lash", "viscous".
        int cell = 0;      ///< Position in the chain of its element.
        std::vector<Mode> modes;
    };
    struct Element {
        std::string name;
        std::string kind;  ///< "shaft", "disc", "lash", "drag", "tyre slip", "road load", …
        std::vector<std::pair<int, double>> row;  ///< Inertia index, coefficient.
        double damping = 0.0;                     ///< [N m s/rad]
        std::vector<Part> parts;
        std::vector<std::pair<std::string, double>>
            smooth;  ///< Named parameters of a smooth law, SI.
    };
    struct Input {
        std::string name;
        std::string kind;  ///< "constant", "ramp", "sine", "crank harmonics".
        int inertia = 0;
        /// Named, SI. An input that leans on another inertia has reaction_inertia and
        /// reaction_factor too: that inertia gets factor times the torque, and the angle that a
        /// crank torque goes by is that of the row of both.
        std::vector<std::pair<std::string, double>> parameters;
        std::vector<std::pair<std::string, std::vector<double>>> tables;  ///< Named, SI.
    };
    std::vector<Inertia> inertias;
    std::vector<Element> elements;
    std::vector<Input> inputs;
    std::vector<std::pair<std::string, double>> gear_path;  ///< Step, ratio.
};

/// Quasi-static torque over twist of the disc, or of a two-mass flywheel; torque ≥ 0 drives the
/// gearbox.
struct DiscLoop {
    std::vector<double> twist;     ///< [rad], rising.
    std::vector<double> upward;    ///< Torque while the twist grows [N m].
    std::vector<double> downward;  ///< Torque while the twist falls [N m].
    struct Corner {
        std::string name;  ///< "stage 1 drive end", "drive stop", …
        double twist = 0.0;
        double torque = 0.0;  ///< On the skeleton (mean of both branches) [N m].
    };
    std::vector<Corner> corners;
};

/// Everything that a run leaves behind.
struct RunRecord {
    RunIdentity identity;
    ModelTable model;
    SignalSet signals;
    EventTable events;
    std::vector<OrderSpectrum> spectra;
    SpeedCourse course;  ///< Pull and overrun only.
    DiscLoop disc_loop;
    DiscLoop flywheel_loop;  ///< Of a two-mass flywheel, turning as in the run; else empty.
    std::vector<StageUse> stage_use;
    std::vector<GearImpacts> gear_impacts;
    std::vector<MeasureValue> measures;
    EnergyBook energy;
    SolverReport solver;
    Verdict verdict;
    double measured_from = 0.0;  ///< Measures look at the run from here on [s].
};

}  // namespace damper
