// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/driveline.hpp"

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace damper {

/// The torque of rubbing faces over a step as a power series, built order by order beside the
/// motion.
///
/// Friction over slip speed and load over time are straight within a step, the modulation by an
/// angle is c = cos φ with c' = −φ'·s, s' = φ'·c, and the limit is their product. Stuck faces get
/// the torque that keeps their rate: with accelerations α of what else acts, in each order
///
///     τ_k = Σ f·α_k / Σ f²/J
///
/// so that sticking is as exact as the series, without a stiffness of its own.
class FaceSeries {
  public:
    static constexpr std::size_t most_orders = 48;

    FaceSeries(const Driveline& line, const FaceBranch& faces);

    /// A step of length h begins at time t; uniform rotation has gone on for `since` [s]. Orders of
    /// the limit below `negligible` [N m] are left out.
    void begin(double t, double h, double since, Rubbing mode, double negligible);

    /// Order k of the limit from coefficients of order k of all angles and speeds (deviations) of
    /// the step, by a function of the inertia. Orders must be asked for one after the other.
    template <class Angle, class Speed>
    void next(std::size_t k, Angle angle, Speed speed) {
        double rate = 0.0;
        for (const RowEntry& e : faces_->row) {
            rate += e.factor * (speed(e.inertia) + (k == 0 ? reference(e.inertia) : 0.0));
        }
        rate_[k] = rate;
        for (Swing& swing : swings_) {
            double phi = k == 0 ? swing.law->phase : 0.0;
            for (const RowEntry& e : swing.law->row) {
                phi += e.factor * angle(e.inertia);
                if (k == 0) phi += e.factor * reference(e.inertia) * since_;
                if (k == 1) phi += e.factor * reference(e.inertia) * h_;
            }
            swing.phi[k] = phi;
        }
        add_order(k);
    }
    /// Torque of order k; `pull` is Σ f·α_k of what else acts on the inertias [rad/s²].
    double torque(std::size_t k, double pull);

    [[nodiscard]] Rubbing mode() const { return mode_; }
    [[nodiscard]] std::span<const double> torques() const { return {torque_.data(), count_}; }
    [[nodiscard]] std::span<const double> rates() const { return {rate_.data(), count_}; }
    /// What stuck faces hold less what is asked of them, up or down; of slipping ones their rate in
    /// the sense of the slip. The mode ends when it falls below zero. Written into `out`.
    std::span<const double> guard(bool up, std::span<double> out) const;

    /// Whether the limit has no more orders to come.
    [[nodiscard]] bool complete() const { return quiet_ >= 2; }
    /// Whether the slip speed keeps to one piece of the friction curve. If not, the step must be
    /// cut.
    [[nodiscard]] bool stays() const;
    /// Rate at which the modulation turns at the start of a step [rad/s].
    [[nodiscard]] double quickest(std::span<const double> speed) const;

  private:
    using Row = std::array<double, most_orders>;
    struct Swing {
        const FaceModulation* law = nullptr;
        Row phi{}, c{}, s{};
    };
    [[nodiscard]] double reference(int inertia) const {
        return line_->masses[static_cast<std::size_t>(inertia)].reference_speed;
    }
    void add_order(std::size_t k);

    const Driveline* line_;
    const FaceBranch* faces_;
    std::vector<Swing> swings_;
    std::vector<Row> products_;  ///< Limit without swings, with the first, with the first two, …
    Row rate_{}, friction_{}, torque_{};
    double reduced_ = 0.0;  ///< Inertia between the faces [kg m²].
    double h_ = 0.0, since_ = 0.0, negligible_ = 0.0;
    double load_ = 0.0, load_rise_ = 0.0;  ///< At the start [N], and over the step.
    double sense_ = 0.0;                   ///< ±1 slipping, 0 sticking.
    std::size_t piece_ = 1;                ///< Of the friction curve.
    double slope_ = 0.0;                   ///< Of friction there [s/m].
    double swing_of_speed_ = 0.0;          ///< How far the slip speed can go from its start [m/s].
    std::size_t count_ = 0, quiet_ = 0;
    Rubbing mode_ = Rubbing::sticking;
};

}  // namespace damper
