// SPDX-License-Identifier: MIT
#pragma once

namespace damper {

/// A start from rest with a clutch torque that stays the same until the clutch sticks.
///
/// Engine and vehicle are two inertias at the gearbox input with the clutch between them:
///
///     Je·ωe' = Te − T      Jv·ωv' = T − Tl      Δω = ωe − ωv
///
/// so that the slip falls evenly, Δω' = −a with a = (T − Te)/Je + (T − Tl)/Jv, and
///
///     slip time  t = Δω₀/a      slip energy  Q = ½·T·Δω₀·t      power at first  T·Δω₀
///
/// Without engine torque and load, Q = ½·Je·Jv/(Je + Jv)·Δω₀², whatever the clutch torque.
/// Source: V. B. Bhandari, Design of Machine Elements, chapter 11 (energy of engagement); the rest
/// follows from the two equations of motion.
struct Start {
    double engine_inertia = 0.0;   ///< Je, with the facings [kg m²], > 0
    double vehicle_inertia = 0.0;  ///< Jv, at the gearbox input [kg m²], > 0
    double engine_speed = 0.0;     ///< At first [rad/s]
    double input_speed = 0.0;      ///< Of the gearbox input at first [rad/s], less than that
    double clutch_torque = 0.0;    ///< T [N m], > 0
    double engine_torque = 0.0;    ///< Te; equal to T if the driver holds the engine's speed [N m]
    double load_torque = 0.0;      ///< Tl: grade and rolling, at the gearbox input [N m]
};

struct StartHeat {
    bool sticks = false;       ///< false: the slip never ends; the rest is then 0.
    double slip_time = 0.0;    ///< [s]
    double energy = 0.0;       ///< Turned into heat [J]
    double first_power = 0.0;  ///< [W]; falls evenly to 0.
    double input_speed = 0.0;  ///< Of engine and gearbox input when it sticks [rad/s]
};

[[nodiscard]] StartHeat heat_of(const Start& start);

/// Surface rise of a thick plate over its bulk while it takes a heat flux that falls evenly from
/// q₀ [W/m²] to 0 in t_s [s]:
///
///     ΔT(t) = 2·q₀·√(t/(π·k·ρ·c))·(1 − 2·t/(3·t_s))
///
/// largest at t_s/2, where it is √(8/(9π))·q₀·√(t_s/(k·ρ·c)). `effusivity` is √(k·ρ·c)
/// [W s^½ m⁻² K⁻¹].
/// Valid while the heat has not reached the back of the plate: √(k·t_s/(ρ·c)) well below its
/// thickness. Source: H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd edition,
/// section 2.9 (half-space under a prescribed flux), superposed for a flux that falls evenly.
[[nodiscard]] double face_rise(double flux, double slip_time, double effusivity, double time);
[[nodiscard]] double largest_face_rise(double flux, double slip_time, double effusivity);

}  // namespace damper
