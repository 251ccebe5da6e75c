// SPDX-License-Identifier: MIT
#include "libdamper/measures/run_measures.hpp"

#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/response.hpp"

#include <algorithm>

namespace damper {

void RunMeasures::start(const RunFacts& facts, const std::vector<std::string>& elements) {
    kind_ = measure_kind(facts.manoeuvre);
    const bool change = kind_ == MeasureKind::change;
    facts_ = &facts;
    measuring_ = changing_ = false;
    samples_ = change_first_ = 0;
    first_time_ = last_time_ = 0.0;
    disc_ = DiscTwist(facts.stages);
    flywheel_ = FlywheelTwist(facts.flywheel_stages);
    roll_ = BlockRoll(facts);
    orders_ = EngineOrders(facts.firing_order);
    speeds_ = {};
    isolation_ = {};
    rattle_ = change ? Rattle() : Rattle(facts, elements);
    clunk_ = change ? Clunk(facts, elements) : Clunk();
    reversals_ = {};
    course_ = OrderCourse(facts.firing_order);
    passage_ = Passage(facts.idle_speed);
    take_up_.start();
    acceleration_.clear();
}

void RunMeasures::sample(const RunSample& sample) {
    if (samples_ == 0) first_time_ = last_time_ = sample.time;
    const double closing = 0.5 * (sample.time - last_time_);
    // A sample that misses a beginning by rounding still counts.
    const double slack = 1e-9 * (sample.time - last_time_);
    last_time_ = sample.time;
    if (kind_ == MeasureKind::change) {
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
        flywheel_.close(sample);
        roll_.close(sample.block_roll);
        orders_.add(sample);  // counts whole cycles, and leaves out the sample that ends them
        return;
    }
    disc_.add(sample.disc_twist);
    flywheel_.add(sample);
    roll_.add(sample.block_roll);
    if (facts_->driving && kind_ != MeasureKind::change) {
        reversals_.add(sample.time, sample.drive_shaft_torque);
    }
    if (kind_ == MeasureKind::sweep) course_.add(sample);
    if (kind_ == MeasureKind::passage) passage_.add(sample);
    if (kind_ == MeasureKind::take_up) take_up_.add(sample);
    if (kind_ != MeasureKind::steady) return;
    orders_.add(sample);
    speeds_.add(sample);
    isolation_.add(sample);
}

void RunMeasures::impact(const Impact& impact) {
    if (impact.time < facts_->measured_from) return;
    if (kind_ != MeasureKind::change) {
        rattle_.add(impact);
    } else if (impact.time >= facts_->change_start) {
        clunk_.add(impact);
    }
}

double RunMeasures::step() const {
    return samples_ < 2 ? 0.0 : (last_time_ - first_time_) / static_cast<double>(samples_ - 1);
}

double RunMeasures::duration() const {
    return samples_ > 0 ? std::max(0.0, last_time_ - facts_->measured_from) : 0.0;
}

void RunMeasures::finish_steady(Measured& measured) {
    orders_.finish();
    speeds_.tell(orders_, measured);
    isolation_.tell(orders_, measured);
    disc_.tell(*facts_, step(), measured);
    rattle_.tell(*facts_, orders_, duration(), measured);
    if (facts_->driving) reversals_.tell(measured);
}

void RunMeasures::finish_sweep(Measured& measured) {
    course_.tell(*facts_, measured);
    disc_.tell(*facts_, step(), measured);
    rattle_.tell(*facts_, orders_, duration(), measured);
    reversals_.tell(measured);
}

void RunMeasures::finish_passage(Measured& measured) {
    passage_.tell(*facts_, measured);
    disc_.tell(*facts_, step(), measured);
    rattle_.tell(*facts_, orders_, duration(), measured);
}

void RunMeasures::finish_take_up(Measured& measured) {
    take_up_.tell(*facts_, step(), measured);
    disc_.tell(*facts_, step(), measured);
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
    switch (kind_) {
        case MeasureKind::steady:
            finish_steady(measured);
            break;
        case MeasureKind::change:
            finish_change(measured);
            break;
        case MeasureKind::sweep:
            finish_sweep(measured);
            break;
        case MeasureKind::passage:
            finish_passage(measured);
            break;
        case MeasureKind::take_up:
            finish_take_up(measured);
            break;
    }
    flywheel_.tell(*facts_, step(), measured);
    roll_.tell(step(), measured);
    return measured;
}

}  // namespace damper
