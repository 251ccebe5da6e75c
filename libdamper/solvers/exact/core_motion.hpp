// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/exact/face_series.hpp"
#include "libdamper/solvers/exact/kernel.hpp"
#include "libdamper/solvers/exact/smooth_series.hpp"
#include "libdamper/solvers/exact/torque_series.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace damper {

/// The inertias that are coupled right now, moved together as power series over a stretch of time.
///
/// Between mode changes the line is linear but for smooth laws and inputs, whose series grow along
/// (SmoothSeries, TorqueSeries). So the motion follows from its own start: with the stretch
/// normalised to s = 0…1 and α = −K·θ − C·ω + d (all divided by the inertias),
///
///     θ_{k+1} = h·ω_k/(k + 1),     ω_{k+1} = h·α_k/(k + 1).
///
/// The series are carried until nothing is left to add, so a stretch has no error but rounding,
/// whatever its length; the length only decides how many orders that takes.
///
/// The inertias are sorted into a trunk and leaves that hang on one inertia of it by one element
/// (CoreShape): the matrices of a shaft with many gears are nearly empty. A trunk that is too wide
/// for full matrices goes element by element.
class CoreMotion {
  public:
    static constexpr std::size_t most_orders = 46;
    static constexpr std::size_t stride = 48;        ///< Room for the orders of one inertia.
    static constexpr std::size_t dense_at_most = 8;  ///< Inertias of a trunk with full matrices.

    CoreMotion(const Stacked& stacked, const Kernel& kernel);

    /// Takes these inertias as the core, with the branches that act on them.
    void choose(std::span<const std::size_t> masses, std::span<const std::size_t> branches);
    /// Takes the present coefficients of the branches (after a mode change inside the core).
    void refresh();

    /// Expands from these angles and speeds (deviations, of all inertias) at time t over at most
    /// `h` [s], halving it until the series is complete. `speed_scale` [rad/s] is what rounding is
    /// judged against. Returns the length that was kept.
    double expand(double t, double h, std::span<const double> angle, std::span<const double> speed,
                  double speed_scale);
    /// What faces do from the next expansion on.
    void rub(std::size_t face, Rubbing mode) { rubbing_[face] = mode; }
    /// Largest rate at which anything in the core changes [1/s].
    [[nodiscard]] double quickest() const { return quickest_; }
    /// Frequency of the quickest harmonic of an input's torque, the inputs' inertias turning at
    /// these speeds (deviations of all inertias) [rad/s].
    [[nodiscard]] double quickest_input(std::span<const double> speed) const;
    [[nodiscard]] std::size_t orders() const { return orders_; }
    /// Lanes that there may be at most.
    [[nodiscard]] std::size_t widest() const { return bound_.size(); }
    [[nodiscard]] std::size_t place(std::size_t mass) const {
        return static_cast<std::size_t>(place_[mass]);
    }

    /// Coefficients of an inertia's angle over the stretch, orders() + 1 of them and zeros up to
    /// the next multiple of four.
    [[nodiscard]] const double* theta(std::size_t mass) const {
        return turned_.data() + place(mass) * stride;
    }
    /// Coefficient k of an inertia's speed.
    [[nodiscard]] double omega(std::size_t k, std::size_t mass) const {
        return omega_[k * width_ + place(mass)];
    }
    [[nodiscard]] const TorqueSeries& input(std::size_t u) const { return inputs_[u].series; }
    [[nodiscard]] std::span<const double> input_slope(std::size_t u) {
        return inputs_[u].series.slope_along();
    }
    [[nodiscard]] const SmoothSeries& smooth(std::size_t i) const { return smooth_[i]; }
    [[nodiscard]] const FaceSeries& face(std::size_t i) const { return faces_[i]; }
    /// Largest coefficient of order k ≥ 1 of any speed [rad/s].
    [[nodiscard]] double top(std::size_t k) const { return top_[k]; }
    /// Bound of an inertia's |acceleration| over the stretch [rad/s²].
    [[nodiscard]] double acceleration_bound(std::size_t mass) const { return bound_[place(mass)]; }

    /// Angles and speeds of the core at s, written into full-length vectors.
    void at(double s, std::span<double> angle, std::span<double> speed) const;
    /// Accelerations of the core at s [rad/s²].
    void acceleration_at(double s, std::span<double> acceleration) const;
    /// Speeds of the core at several s, a multiple of four of them: out[place·count + q].
    void speeds_at(std::span<const double> s, std::span<double> out) const;

    /// Multiplications with an addition that the series have taken so far.
    [[nodiscard]] std::int64_t multiply_adds() const { return multiply_adds_; }

  private:
    /// What a branch does to the inertias of the core.
    struct Tie {
        double spring = 0.0, damping = 0.0;
        std::size_t first = 0, last = 0;  ///< Of its ends in ends_.
    };
    struct End {
        std::size_t place = 0;
        double factor = 0.0;
        double pull = 0.0;  ///< factor over the inertia [1/(kg m²)].
    };
    void begin(double t, double h, std::span<const double> angle, std::span<const double> speed,
               double speed_scale);
    double next_order(std::size_t k);
    void add_ties(std::size_t k);
    void sort_into_lanes(std::span<const std::size_t> masses);
    void take_lane(std::size_t mass);
    [[nodiscard]] bool is_coupled(std::size_t branch) const;
    void add_quickest(const Tie& tie);
    void add_inputs(std::size_t k);
    void add_smooth(std::size_t k);
    void add_faces(std::size_t k);
    void fill_matrices();
    void set_leaf(const Tie& tie);
    void scatter(const double* lanes, std::span<double> out) const;

    const Stacked* stacked_;
    const Kernel* kernel_;
    struct Feed {
        TorqueSeries series;
        std::size_t mass = 0;
        double speed = 0.0;    ///< Reference speed of that inertia [rad/s].
        double inertia = 0.0;  ///< [kg m²]
        std::size_t place = 0;
        int against = -1;     ///< Inertia that it leans on; −1: none. `speed` is then relative.
        double factor = 0.0;  ///< Of the torque on that one.
        std::size_t against_place = 0;
        /// Angle or speed that the source knows.
        [[nodiscard]] double along(std::span<const double> values) const {
            const double own = values[mass];
            return against < 0 ? own : own + factor * values[static_cast<std::size_t>(against)];
        }
    };
    std::vector<Feed> inputs_;
    std::vector<SmoothSeries> smooth_;
    std::vector<FaceSeries> faces_;
    std::vector<Rubbing> rubbing_;
    std::vector<std::size_t> branches_;
    std::vector<int> place_;     ///< Lane of each inertia in the core; −1 outside.
    std::vector<int> lane_;      ///< Inertia of each lane; −1 if it is empty.
    std::vector<int> hangs_on_;  ///< Of each inertia: the inertia it is a leaf of; −1 if of none.
    std::vector<int> elements_;  ///< Of each inertia: how many couple it to others.
    std::vector<char>
        fixed_;  ///< Inertias that cannot be leaves: torques from outside act on them.
    CoreShape shape_;
    std::vector<double> leaves_, centre_inverse_, root_inverse_, quickest_k_, quickest_c_;
    std::vector<int> centre_;
    std::vector<Tie> ties_;
    std::vector<End> ends_;
    std::size_t width_ = 4, orders_ = 0;
    std::size_t inputs_end_ = 0;  ///< Orders from here on have no torque from inputs.
    std::vector<double> k_, c_, inverse_inertia_;
    std::vector<double> d0_;       ///< Constant part of α at time 0 [rad/s²].
    std::vector<double> d_drift_;  ///< Its growth with time, from springs against a drift [rad/s³].
    std::vector<double> theta_, omega_, alpha_, bound_;  ///< By order, then inertia.
    std::vector<double> turned_;                         ///< Angles by inertia, then order.
    mutable std::vector<double> lanes_;
    std::array<double, stride> top_{};

    double h_ = 0.0;
    double quickest_ = 0.0;
    std::int64_t multiply_adds_ = 0;
};

}  // namespace damper
