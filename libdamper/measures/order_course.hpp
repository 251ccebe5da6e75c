// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"
#include "libdamper/measures/run_sample.hpp"
#include "libdamper/signals/order_fit.hpp"
#include "libdamper/signals/speed_course.hpp"

namespace damper {

/// The firing order along a run through a range of speeds: amplitudes of the accelerations of
/// flywheel and input shaft and of the torque in the drive shafts, least squares over the actual
/// crank angle of two engine cycles after the other. Fills `Measured::course`.
class OrderCourse {
  public:
    explicit OrderCourse(double firing_order = 0.5);

    void add(const RunSample& sample);
    void tell(const RunFacts& facts, Measured& measured) const;

  private:
    void close();

    double order_;
    int half_orders_;
    double bound_ = 0.0;  ///< Crank angle that ends the present row [rad].
    double first_ = 0.0, last_ = 0.0;
    bool started_ = false;
    OrderBasis basis_;
    OrderSums speed_, flywheel_, input_, shaft_;
    SpeedCourse course_;
};

/// How often per second the torque in the drive shafts changes its sign.
class TorqueReversals {
  public:
    void add(double time, double torque);
    void tell(Measured& measured) const;

  private:
    double first_ = 0.0, last_ = 0.0;  ///< [s]
    double count_ = 0.0;
    int sign_ = 0;
    bool any_ = false;
};

}  // namespace damper
