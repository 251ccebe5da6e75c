// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/block_roll.hpp"
#include "libdamper/measures/clunk.hpp"
#include "libdamper/measures/disc_twist.hpp"
#include "libdamper/measures/engine_orders.hpp"
#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/flywheel_twist.hpp"
#include "libdamper/measures/isolation.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/order_course.hpp"
#include "libdamper/measures/passage.hpp"
#include "libdamper/measures/rattle.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/measures/speed_fluctuation.hpp"
#include "libdamper/measures/take_up.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace damper {

/// The measures of a run, taken while it goes: fed with its samples and impacts, it needs no stored
/// signals. A stored run fed sample by sample gives the same numbers bit for bit.
///
/// Only sums are kept, of a run through speeds a row for every two engine cycles. A change of
/// torque keeps the vehicle's acceleration, because its filters run both ways; that memory is used
/// again by the next run. No sample and no impact allocates beyond it.
class RunMeasures {
  public:
    /// Begins anew. `facts` must outlive finish(); `elements` are the names that Impact::element
    /// numbers. Throws ModelError if there are no measures for the manoeuvre.
    void start(const RunFacts& facts, const std::vector<std::string>& elements);

    /// Samples in order of uniform time, those before the measured part too.
    void sample(const RunSample& sample);
    /// Impacts in any order in which those of one element follow each other.
    void impact(const Impact& impact);

    /// The measures that belong to the manoeuvre, without spectra. A run that ended early gives the
    /// measures that its length still allows. Then start() again.
    [[nodiscard]] Measured finish();

  private:
    void finish_steady(Measured& measured);
    void finish_change(Measured& measured) const;
    void finish_sweep(Measured& measured);
    void finish_passage(Measured& measured);
    void finish_take_up(Measured& measured);
    [[nodiscard]] double duration() const;
    [[nodiscard]] double step() const;

    const RunFacts* facts_ = nullptr;
    MeasureKind kind_ = MeasureKind::steady;
    bool measuring_ = false;  ///< The measured part has begun.
    bool changing_ = false;   ///< The change of torque has begun.
    std::size_t samples_ = 0;
    double first_time_ = 0.0, last_time_ = 0.0;
    DiscTwist disc_;
    FlywheelTwist flywheel_;
    BlockRoll roll_;
    // Idle and creep
    EngineOrders orders_;
    SpeedFluctuation speeds_;
    Isolation isolation_;
    Rattle rattle_;              ///< All but a change of torque.
    TorqueReversals reversals_;  ///< Driving, but a change of torque.
    OrderCourse course_;         ///< Pull and overrun.
    Passage passage_;            ///< Engine start and stop.
    TakeUpCourse take_up_;       ///< Take-up.
    // Change of torque
    Clunk clunk_;
    std::size_t change_first_ = 0;
    std::vector<double> acceleration_;
};

}  // namespace damper
