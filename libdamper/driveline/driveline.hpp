// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/elements/friction_faces.hpp"
#include "libdamper/elements/law.hpp"
#include "libdamper/elements/smooth_law.hpp"
#include "libdamper/elements/torque_source.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// One entry of a row g: how much the twist of an element changes with an inertia's angle.
struct RowEntry {
    int inertia = 0;
    double factor = 0.0;
};

/// A rotating mass. Its angle is `reference_speed`·t plus a deviation, and only the deviation is
/// integrated, so that long runs lose no digits.
struct RotatingMass {
    std::string name;
    double inertia = 0.0;          ///< [kg m²], > 0
    double reference_speed = 0.0;  ///< [rad/s]
};

/// A law with a name of its own.
struct Part {
    std::string name;
    Law law;
};

/// Parts side by side: they share the cell's twist, their torques add up.
struct Cell {
    std::vector<Part> parts;
};

/// An element: its twist is δ = Σ factor·θ, positive when the side nearer the engine runs ahead,
/// and each inertia receives −factor·τ. The torque τ is that of its cells in series (they share
/// the torque, their twists add up: what lies between them has no inertia) plus damping·δ'.
///
/// Series cells must be springs or sliders without damping, at most one of them without stiffness
/// at a time.
struct Branch {
    std::string name;
    std::string kind;  ///< "disc", "shaft", "lash", "drag", "tyre", "differential", …
    std::vector<RowEntry> row;
    double damping = 0.0;  ///< [N m s/rad], ≥ 0
    std::vector<Cell> chain;
};

/// An element with a smooth law of its rate.
struct SmoothBranch {
    std::string name;
    std::vector<RowEntry> row;
    int reference = 0;  ///< Inertia whose speed the law refers to.
    SmoothLaw law;
};

/// By how much the load of faces swings with an angle: 1 + share·cos(φ + phase), φ = Σ factor·θ.
/// Along the row of the faces themselves it is once per revolution of slip.
struct FaceModulation {
    std::vector<RowEntry> row;
    double share = 0.0;  ///< 0…1
    double phase = 0.0;  ///< [rad]
};

/// Faces that rub on each other. Two of them must not share an inertia.
struct FaceBranch {
    std::string name;
    std::vector<RowEntry> row;
    FrictionFaces law;
    std::vector<FaceModulation> modulations;  ///< Their factors are multiplied.

    /// 1/(Σ factor²/J): inertia that the faces feel between them [kg m²].
    [[nodiscard]] double reduced_inertia(const std::vector<RotatingMass>& masses) const;
};

/// A torque from outside on one inertia, positive in the running sense. It may lean on another
/// inertia, which then gets `reaction.factor` times the torque; angle and speed that the source
/// knows are then those of the row {inertia, 1}, reaction: relative ones.
struct Input {
    std::string name;
    int inertia = 0;
    TorqueSource source;
    RowEntry reaction{.inertia = -1, .factor = 0.0};  ///< Inertia −1: it leans on nothing.

    [[nodiscard]] bool leans() const { return reaction.inertia >= 0; }
    [[nodiscard]] std::vector<RowEntry> row() const {
        if (!leans()) return {{inertia, 1.0}};
        return {{inertia, 1.0}, reaction};
    }
};

/// The assembled driveline: constant, plain, without words of the trade. Solvers see rows and
/// tables; no solver knows an element by its name.
struct Driveline {
    std::vector<RotatingMass> masses;
    std::vector<Branch> branches;
    std::vector<SmoothBranch> smooth;
    std::vector<Input> inputs;
    std::vector<FaceBranch> faces;

    [[nodiscard]] std::size_t part_count() const;
    /// Index of an inertia or branch by name. Throws ModelError if there is none.
    [[nodiscard]] int mass(const std::string& name) const;
    [[nodiscard]] int branch(const std::string& name) const;
};

/// Throws ModelError if an inertia is not positive, an index points nowhere, a chain is empty or
/// a series cell has damping.
void check(const Driveline& line);

/// Where the driveline is: deviations from uniform rotation, and mode and memory of every part in
/// the order branch by branch, cell by cell, part by part.
struct State {
    double time = 0.0;                  ///< [s]
    std::vector<double> angle;          ///< [rad], one per inertia
    std::vector<double> speed;          ///< [rad/s], one per inertia
    std::vector<int> mode;              ///< One per part.
    std::vector<double> memory;         ///< [rad], one per part; unused where the law has none.
    std::vector<Rubbing> rubbing = {};  ///< One per pair of faces; empty: as the rates say.
};

/// What every pair of faces does at these speeds (deviations) [rad/s]: rates that are not zero
/// slip.
[[nodiscard]] std::vector<Rubbing> rubbing_at(const Driveline& line,
                                              const std::vector<double>& speed);
/// Rate of a row, uniform rotation included [rad/s].
[[nodiscard]] double rate_of(const Driveline& line, const std::vector<RowEntry>& row,
                             const double* speed);
/// Factor by which the load of faces is modulated; `since` is the time for which uniform rotation
/// has gone on [s].
[[nodiscard]] double modulation_of(const Driveline& line, const FaceBranch& faces, double since,
                                   const double* angle);

/// At rest in the deviations, every part in its law's start mode.
[[nodiscard]] State start_state(const Driveline& line);

}  // namespace damper
