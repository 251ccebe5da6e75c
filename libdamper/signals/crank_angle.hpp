// SPDX-License-Identifier: MIT
#pragma once

#include <complex>
#include <span>
#include <vector>

namespace damper {

/// Speed of a shaft at equal steps of its angle.
struct AngleSeries {
    int per_revolution = 0;     ///< Values a revolution, even.
    double first_angle = 0.0;   ///< Of the first value [rad], a whole number of steps.
    std::vector<double> time;   ///< Of each value [s]
    std::vector<double> speed;  ///< [rad/s], or another quantity brought to the same angles
    /// Angle that each value is a mean over [rad]: between two teeth. 0: an instant.
    double averaged_over = 0.0;
    /// Values of the recording a revolution, on average: what it can show.
    double sampled_per_revolution = 0.0;
};

/// Angle turned through at each time, from the speed [rad/s] at rising times [s] by cubics between
/// values (trapezoids with the slopes' correction). Starts at 0. At least four values.
[[nodiscard]] std::vector<double> turned_angle(std::span<const double> time,
                                               std::span<const double> speed);

/// Values a revolution for so many of a recording: the next power of two, 8 to 1024.
[[nodiscard]] int steps_a_revolution(double sampled_per_revolution);

/// A quantity at equal angles, by cubics through four neighbours. `angle` [rad] rises with `time`;
/// the part of both that lies between `from` and `to` [s] is taken. Throws ModelError if angles do
/// not rise or fewer than four values are left.
[[nodiscard]] AngleSeries over_angle(std::span<const double> time, std::span<const double> angle,
                                     std::span<const double> value, int per_revolution, double from,
                                     double to);

/// Speed between successive pulses at their middle angle, at equal angles. `time` [s] and `angle`
/// [rad] of the pulses rise. Throws ModelError likewise.
[[nodiscard]] AngleSeries speed_of_pulses(std::span<const double> time,
                                          std::span<const double> angle);

/// Orders of one stretch of a few engine cycles.
struct OrderBlock {
    double time = 0.0;        ///< Of its middle [s]
    double mean_speed = 0.0;  ///< [rad/s]
    /// Of the orders ½, 1, 1½ …: the signal is Σ Re(a·e^(j·order·angle)).
    std::vector<std::complex<double>> amplitude;
};

/// Orders of a speed, stretch by stretch.
struct OrderBlocks {
    int cycles = 2;  ///< Engine cycles (4π) a stretch
    std::vector<OrderBlock> block;

    /// Orders known, ½ to ½·orders().
    [[nodiscard]] std::size_t orders() const {
        return block.empty() ? 0 : block.front().amplitude.size();
    }
};

/// Orders ½ to `highest` of each stretch of `cycles` engine cycles, by least squares together with
/// a mean, a slope and a bend, so that a run-up leaks into no order. What the mean between two
/// teeth takes off an order is given back. Orders that the recording has fewer than 2.5 values a
/// period of are left out. Empty with less than one stretch.
[[nodiscard]] OrderBlocks order_blocks(const AngleSeries& series, double highest, int cycles);

/// Mean of the amplitudes with one phase: the blocks are turned so that the order `firing` keeps
/// the phase that it has in the first one, because an angle that was added up from a speed drifts.
/// Index 0 is order ½. Phases are those about the angle of the first block.
[[nodiscard]] OrderBlocks aligned(OrderBlocks blocks, double firing);

/// Index of an order among ½, 1, 1½ …
[[nodiscard]] std::size_t order_index(double order);

/// A figure from several stretches.
struct BlockFigure {
    double value = 0.0;
    double half_width = 0.0;  ///< Of the 95 % interval by Student's t; infinite with one stretch.
};

/// Mean magnitude of an order over the stretches, its interval from their scatter.
[[nodiscard]] BlockFigure order_magnitude(const OrderBlocks& blocks, double order);
/// Magnitude of the mean of aligned stretches: what stays. Its interval is that of the mean along
/// its own direction.
[[nodiscard]] BlockFigure steady_magnitude(const OrderBlocks& aligned_blocks, double order);

/// How an order passes from one shaft to another.
struct OrderTransfer {
    double order = 0.0;
    double ratio = 0.0;       ///< Output over input
    double lag = 0.0;         ///< Of the output, −π to π [rad]
    double coherence = 0.0;   ///< 0 to 1
    double half_width = 0.0;  ///< Of the 95 % interval of the ratio; infinite with one stretch
};

/// Least squares over stretches: ratio = |Σ y·x*|/Σ|x|², coherence = |Σ y·x*|²/(Σ|x|²·Σ|y|²),
/// standard deviation of the ratio = ratio·√((1 − coherence)/(2·coherence·n)). One stretch has the
/// coherence 1 and says nothing of the scatter. Both with the same stretches; extra ones at the
/// end are left out.
/// Source: J. S. Bendat, A. G. Piersol, Random Data, 4th ed. 2010, table 9.6 (recalled).
[[nodiscard]] OrderTransfer order_transfer(const OrderBlocks& input, const OrderBlocks& output,
                                           double order);

}  // namespace damper
