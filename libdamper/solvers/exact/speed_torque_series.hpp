// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/solvers/exact/torque_series.hpp"

#include <array>
#include <cstddef>
#include <span>

namespace damper {

/// The torque of a SpeedTorque over a step as a power series: between two speeds it is
///
///     τ = P(θ) + v·(Q(θ) − P(θ)),   v = (ω − ω_low)/(ω_high − ω_low)
///
/// with P and Q the torques at both speeds, whose series come from TorqueSeries; the product is one
/// more sum over the orders so far.
class SpeedTorqueSeries {
  public:
    SpeedTorqueSeries(SpeedTorque source, const Kernel& kernel);

    /// As TorqueSeries::begin.
    void begin(double t, double h, double angle, double speed, double negligible);
    [[nodiscard]] double coefficient(std::size_t k, double theta, double omega);
    [[nodiscard]] std::size_t end() const { return end_; }
    [[nodiscard]] std::span<const double> so_far() const { return {out_.data(), count_}; }
    [[nodiscard]] double phase() const { return low_.phase(); }
    [[nodiscard]] double highest_order() const { return highest_; }

    /// Whether the speed keeps between the two speeds it began between. If not, the step must be
    /// cut.
    [[nodiscard]] bool stays() const;

  private:
    using Row = std::array<double, TorqueSeries::most_orders>;
    void take_piece(const SpeedTorque::Map& map, std::size_t piece);

    SpeedTorque source_;
    CrankTorque rises_;  ///< From the lower to the higher speed, in the present piece.
    TorqueSeries low_, rise_;
    double highest_ = 0.0;
    const SpeedTorque::Map* map_ = nullptr;  ///< Of the present piece.
    std::size_t piece_ = 0;
    double below_ = 0.0, above_ = 0.0;  ///< Ends of the piece [rad/s].
    double width_ = 1.0;                ///< [rad/s]
    double speed_ = 0.0, negligible_ = 0.0;
    double swing_ = 0.0;  ///< How far the speed can go from its start [rad/s].
    Row share_{}, of_rise_{}, out_{};
    std::size_t count_ = 0, end_ = 0, quiet_ = 0;
};

}  // namespace damper
