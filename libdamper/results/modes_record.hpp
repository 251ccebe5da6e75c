// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <vector>

namespace damper {

/// One natural mode about one operating point. Lists run over the inertias or elements of its gear.
/// "Change" means ∂f/∂ln p: the change of the frequency for a change of p by its own size, first
/// order; a tenth of it is what +10 % make.
struct ModeRow {
    std::string name;               ///< In the trade's words; empty where no rule gives one.
    double frequency = 0.0;         ///< Undamped [Hz]
    double damped_frequency = 0.0;  ///< [Hz]; 0: damping keeps it from swinging.
    double damping_ratio = 1.0;     ///< 1 where it does not swing.
    double likeness = 0.0;          ///< Of the damped shape to the undamped one, 0…1.
    double gap = 1.0;               ///< To the nearest other frequency, relative.
    bool repeated = false;          ///< Shapes and shares mean something only in sum.
    double modal_inertia = 0.0;     ///< φᵀ·M·φ of the shape whose largest angle is 1 [kg m²]
    std::vector<double> shape;      ///< Angle of each inertia; the largest is 1.
    std::vector<double> shape_real;  ///< The damped shape, largest angle 1; 0 if it does not swing.
    std::vector<double> shape_imaginary;
    std::vector<double> kinetic_share;
    std::vector<double> strain_share;
    std::vector<double> damping_share;        ///< Sums to the damping ratio.
    std::vector<double> change_by_inertia;    ///< [Hz]
    std::vector<double> change_by_stiffness;  ///< [Hz]
};

/// What moves a frequency: a value of the description, both sides of the vehicle together.
struct ModeInfluence {
    std::string what;        ///< "half shaft stiffness", "engine inertia".
    double per_tenth = 0.0;  ///< Change of the frequency at +10 % [Hz].
};

/// All modes about one operating point.
struct GearModes {
    std::string gear;             ///< "neutral", "1", "R", …
    double ratio = 0.0;           ///< Engine speed over wheel speed; 0 in neutral.
    double engine_speed = 0.0;    ///< [rad/s]
    double engine_torque = 0.0;   ///< [N m]
    double disc_torque = 0.0;     ///< [N m]
    double disc_stiffness = 0.0;  ///< [N m/rad]
    std::string disc_stage;       ///< Name of the stage that moves.
    bool stage_asked = false;     ///< The stage was asked for and does not follow from the torque.
    int rigid_bodies = 0;         ///< Motions without twist.
    struct Inertia {
        std::string name;
        double inertia = 0.0;  ///< [kg m²]
        double ratio = 1.0;    ///< Its mean speed over the engine's; 0 if it stands.
    };
    struct Element {
        std::string name;
        double stiffness = 0.0;   ///< About the operating point [N m/rad]
        double damping = 0.0;     ///< [N m s/rad]
        std::vector<double> row;  ///< g of each inertia: K is the sum of stiffness·gᵀ·g.
    };
    std::vector<Inertia> inertias;
    std::vector<Element> elements;
    std::vector<ModeRow> modes;                          ///< Rising in frequency.
    std::vector<std::vector<ModeInfluence>> influences;  ///< Of each mode, strongest first.
};

/// A mode of a driveline whose clutch slips: e^(growth·t) times a swing.
struct SlippingRow {
    std::string name;            ///< "judder" for the one that the vehicle feels most; else empty.
    double frequency = 0.0;      ///< Damped [Hz]
    double growth = 0.0;         ///< Real part of the eigenvalue [1/s]; above 0 it grows by itself.
    double flat_growth = 0.0;    ///< The same if friction did not change with slip speed [1/s];
                                 ///< not a number where that has no such mode.
    double damping_ratio = 0.0;  ///< −growth over the size of the eigenvalue; below 0 it grows.
    double felt = 0.0;           ///< What a torque of the faces makes the vehicle feel of it, over
                                 ///< that of the mode which is felt most.
    std::vector<double> shape_real, shape_imaginary;  ///< Angle of each inertia; the largest is 1.
    std::vector<double> kinetic_share;                ///< Of each inertia.
};

/// All modes about one steady slip.
struct SlippingModes {
    std::string gear;
    double clamp_share = 0.0;   ///< Of the full clamp load.
    double clamp = 0.0;         ///< [N]
    double slip_speed = 0.0;    ///< At the mean radius of the faces [m/s].
    double torque = 0.0;        ///< Of the faces [N m]
    double gradient = 0.0;      ///< dμ/dv of the faces there [s/m]
    double face_damping = 0.0;  ///< What that is as a damper between engine and disc [N m s/rad]
    std::vector<std::string> inertias;
    std::vector<SlippingRow> modes;  ///< Rising in frequency.
};

/// An order of the engine: so many swings a turn of the crank.
struct EngineOrder {
    double order = 0.0;
    std::string name;  ///< "firing", "2 × firing", …
};

/// Everything that `damper modes` finds.
struct ModesRecord {
    RunIdentity identity;
    std::string friction;             ///< "slips" or "sticks".
    double lowest_speed = 0.0;        ///< Idle speed of the engine [rad/s].
    double highest_speed = 0.0;       ///< End of its usable range [rad/s].
    double firing_order = 0.0;        ///< Half the number of cylinders.
    std::vector<EngineOrder> orders;  ///< Rising.
    std::vector<GearModes> gears;
    std::vector<SlippingModes> slipping;  ///< Of a take-up, by clamp load; else empty.
};

/// Engine speed at which an order meets a frequency [Hz]: 2π·f/order [rad/s].
[[nodiscard]] double critical_speed(double frequency, double order);

/// Modes up to this frequency [Hz] can be met by an order of the list at a speed of the range; what
/// lies above is met by nothing that the record knows of.
[[nodiscard]] double highest_met(const ModesRecord& record);

/// A name without the side of the vehicle: "half shaft left" → "half shaft".
[[nodiscard]] std::string without_side(const std::string& name);

/// Whether that speed is one the engine runs at.
[[nodiscard]] bool in_range(const ModesRecord& record, double speed);

}  // namespace damper
