// SPDX-License-Identifier: MIT
#include "libdamper/solvers/exact/exact_run.hpp"
#include "libdamper/solvers/exact/polynomial.hpp"

#include <algorithm>

namespace damper {

/// Samples due up to a time in the stretch.
void ExactRun::emit_samples(double until) {
    if (sink_ == nullptr) return;
    while (true) {
        const double t = run_start_ + static_cast<double>(next_sample_) * settings_.sample_step;
        if (t > std::min(until, settings_.end)) return;
        emit(t, (t - from_) / length_);
        ++next_sample_;
    }
}

void ExactRun::emit(double t, double s) {
    if (!core_masses_.empty()) {
        core_.at(s, sample_angle_, sample_speed_);
        core_.acceleration_at(s, acceleration_);
    }
    for (std::size_t i = 0; i < free_.size(); ++i) {
        if (in_core_[i]) continue;
        const FreeMotion::Now now = free_[i].at(t);
        sample_angle_[i] = now.angle;
        sample_speed_[i] = now.speed;
        acceleration_[i] = now.acceleration;
    }
    for (std::size_t u = 0; u < input_.size(); ++u) {
        input_[u] = value_at(core_.input(u).so_far(), s);
    }
    for (std::size_t f = 0; f < face_torque_.size(); ++f) {
        face_torque_[f] = value_at(core_.face(f).torques(), s);
    }
    sink_->sample({.time = t,
                   .angle = sample_angle_,
                   .speed = sample_speed_,
                   .acceleration = acceleration_,
                   .input = input_,
                   .face_torque = face_torque_,
                   .stacked = &stacked_});
}

}  // namespace damper
