// SPDX-License-Identifier: MIT
#include "libdamper/measures/run_measures.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/response.hpp"

#include <algorithm>

namespace damper {

void RunMeasures::start(const RunFacts& facts, const std::vector<std::string>& elements) {
    idle_ = facts.manoeuvre == "idle";
    if (!idle_ && facts.manoeuvre != "tip in" && facts.manoeuvre != "back out") {
        throw ModelError("there are no measures for the manoeuvre \"" + facts.manoeuvre + "\"");
    }
    facts_ = &facts;
    measuring_ = changing_ = false;
    samples_ = change_first_ = 0;
    first_time_ = last_time_ = 0.0;
    disc_ = DiscTwist(facts.stages);
    orders_ = EngineOrders(facts.firing_order);
    speeds_ = {};
    isolation_ = {};
    rattle_ = idle_ ? Rattle(facts, elements) : Rattle();
    clunk_ = idle_ ? Clunk() : Clunk(facts, elements);
    acceleration_.clear();
}

void RunMeasures::sample(const RunSample& sample) {
    if (samples_ == 0) first_time_ = last_time_ = sample.time;
    const double closing = 0.5 * (sample.time - last_time_);
    // A sample that misses a beginning by rounding still counts.
    const double slack = 1e-9 * (sample.time - last_time_);
    last_time_ = sample.time;
    if (!idle_) {
        acceleration_.push_back(sample.vehicle_acceleration);
        if (!changing_) {
            changing_ = sample.time >= facts_->change_start - slack;
            change_first_ = changing_ ? samples_ : samples_ + 1;
        }
    }
    ++samples_;
    measuring_ = measuring_ || sample.time >= facts_->measured_from - slack;
    if (!measuring_) return;
    if (facts_->repeats && sample.time >= facts_->length - closing) {
        disc_.close(sample.disc_twist);
        orders_.add(sample);  // counts whole cycles, and leaves out the sample that ends them
        return;
    }
    disc_.add(sample.disc_twist);
    if (!idle_) return;
    orders_.add(sample);
    speeds_.add(sample);
    isolation_.add(sample);
}

void RunMeasures::impact(const Impact& impact) {
    if (impact.time < facts_->measured_from) return;
    if (idle_) {
        rattle_.add(impact);
    } else if (impact.time >= facts_->change_start) {
        clunk_.add(impact);
    }
}

double RunMeasures::step() const {
    return samples_ < 2 ? 0.0 : (last_time_ - first_time_) / static_cast<double>(samples_ - 1);
}

void RunMeasures::finish_idle(Measured& measured) {
    const double duration = samples_ > 0 ? std::max(0.0, last_time_ - facts_->measured_from) : 0.0;
    orders_.finish();
    speeds_.tell(orders_, measured);
    isolation_.tell(orders_, measured);
    disc_.tell(*facts_, step(), measured);
    rattle_.tell(*facts_, orders_, duration, measured);
}

void RunMeasures::finish_change(Measured& measured) const {
    const AccelerationCourse course{*facts_, acceleration_, step(), change_first_};
    measure_shuffle(course, measured);
    measure_comfort(course, measured);
    const double from = std::max(facts_->measured_from, facts_->change_start);
    clunk_.tell(*facts_, last_time_, samples_ > 0 ? last_time_ - from : 0.0, measured);
    disc_.tell(*facts_, step(), measured);
}

Measured RunMeasures::finish() {
    Measured measured;
    if (idle_) {
        finish_idle(measured);
    } else {
        finish_change(measured);
    }
    return measured;
}

}  // namespace damper
