// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/driveline/stacked.hpp"
#include "libdamper/solvers/general/crank_series.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace damper {

/// The driveline in its present modes as a first-order system of deviations, laid out flat:
///
///     y = [ angles n | speeds n ]
///
/// What an evaluation meets on its way (twist, rate and torque of each branch, power of smooth
/// branches and inputs) is left in a row. A step of the Runge–Kutta pair leaves seven of them, row
/// 0 for its start and row 6 for its end: whoever keeps books or watches guards finds there what
/// would else be computed again.
class Equations {
  public:
    static constexpr std::size_t stages = 7;

    struct Row {
        std::vector<double> twist, rate, torque;        ///< Of branches [rad], [rad/s], [N m]
        std::vector<double> smooth_power;               ///< [W]
        std::vector<double> input_torque, input_power;  ///< [N m], [W]
        std::vector<double> face_torque, face_rate;     ///< Of faces [N m], [rad/s]
        /// Of faces: what must not fall below zero, their rate in the sense of the slip, or what
        /// stuck ones hold less what is asked of them, up and down [rad/s] or [N m].
        std::vector<double> face_up, face_down;
    };

    /// Keeps references; both must outlive it. `stacked` must have its modes.
    Equations(const Driveline& line, const Stacked& stacked);

    [[nodiscard]] std::size_t size() const { return 2 * n_; }
    [[nodiscard]] std::size_t masses() const { return n_; }

    /// Takes over the present mode of a branch after it has changed.
    void refresh(std::size_t branch);

    /// What faces do from now on.
    void rub(std::size_t face, Rubbing mode) { rubbing_[face] = mode; }
    [[nodiscard]] Rubbing rubbing(std::size_t face) const { return rubbing_[face]; }
    [[nodiscard]] std::size_t faces() const { return rubbing_.size(); }

    /// y' at the start of a step, into row 0.
    void at_start(const std::vector<double>& y, std::vector<double>& slope, double t);
    /// A step begins at row 0, where the slope is known: the next six evaluations are its stages.
    void begin(const std::vector<double>& slope);
    /// y' at the next stage.
    void operator()(const std::vector<double>& y, std::vector<double>& slope, double t);
    /// The end of the step just taken is the start of the next one.
    void go_on() { std::swap(rows_.front(), rows_.back()); }
    /// y' somewhere else, which no step needs; what it met is returned.
    const Row& aside(const std::vector<double>& y, std::vector<double>& slope, double t);

    [[nodiscard]] const std::array<Row, stages>& rows() const { return rows_; }
    /// Largest |acceleration| of each inertia in the stages of the present step [rad/s²].
    [[nodiscard]] std::span<const double> top_acceleration() const { return top_; }

    [[nodiscard]] std::int64_t evaluations() const { return evaluations_; }

  private:
    struct FlatBranch {
        double offset = 0.0, spring = 0.0, damping = 0.0;
        double drift = 0.0;
        double factor_a = 0.0, factor_b = 0.0;  ///< Of the first two entries of the row.
        std::size_t a = 0, b = 0;
        std::size_t more = 0, end = 0;  ///< Further entries, in more_.
    };
    struct FlatEntry {
        std::size_t at = 0;
        double factor = 0.0;
    };
    struct FlatInput {
        std::size_t mass = 0;
        double reference = 0.0;  ///< Of what the source knows.
        int against = -1;        ///< Inertia that it leans on; −1: none.
        double factor = 0.0;     ///< Of the torque on that one.
        std::optional<CrankSeries> crank;
        std::optional<SpeedSeries> over_speed;
    };
    void evaluate(const std::vector<double>& y, std::vector<double>& slope, double t, Row& row);
    void add_branches(const double* angle, const double* speed, double since, Row& row) const;
    void add_smooth(const double* speed, double* torque, Row& row) const;
    void add_inputs(const double* angle, const double* speed, double t, double* torque,
                    Row& row) const;

    void add_faces(const double* angle, const double* speed, double t, double* acceleration,
                   Row& row) const;

    const Driveline* line_;
    const Stacked* stacked_;
    std::vector<Rubbing> rubbing_;
    std::size_t n_;
    std::vector<FlatBranch> branches_;
    std::vector<RowEntry> more_;
    std::vector<FlatEntry> at_mass_;       ///< Branches that act on an inertia, inertia by inertia.
    std::vector<std::size_t> mass_first_;  ///< Of each inertia in at_mass_, and one past the last.
    std::vector<double> inverse_inertia_;
    std::vector<FlatInput> inputs_;
    std::array<Row, stages> rows_;
    Row aside_;
    std::vector<double> top_;
    std::size_t stage_ = 0;
    std::int64_t evaluations_ = 0;
};

}  // namespace damper
