// SPDX-License-Identifier: MIT
#include "libdamper/measures/order_course.hpp"

#include "libdamper/measures/rattle.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <optional>
#include <span>
#include <vector>

namespace damper {

namespace {

constexpr double row_angle = 8.0 * std::numbers::pi;  // two engine cycles
constexpr double swinging = 0.4;    // of the flywheel's largest amplitude, to tell a transfer
constexpr double neighbour = 1.25;  // how far off in speed a hump is compared with its sides

std::size_t largest(const std::vector<double>& values) {
    return static_cast<std::size_t>(std::max_element(values.begin(), values.end()) -
                                    values.begin());
}

/// Value at a speed, straight between rows; nothing outside. Rows may rise or fall in speed.
std::optional<double> at_speed(const std::vector<double>& speeds, const std::vector<double>& values,
                               double speed) {
    for (std::size_t i = 1; i < speeds.size(); ++i) {
        const double low = std::min(speeds[i - 1], speeds[i]);
        const double high = std::max(speeds[i - 1], speeds[i]);
        if (speed < low || speed > high || !(high > low)) continue;
        const double share = (speed - speeds[i - 1]) / (speeds[i] - speeds[i - 1]);
        return std::lerp(values[i - 1], values[i], share);
    }
    return std::nullopt;
}

/// The largest of a course over the mean of what it is a quarter slower and a quarter faster.
std::optional<double> hump(const std::vector<double>& speeds, const std::vector<double>& values) {
    std::optional<double> worst;
    for (std::size_t i = 0; i < speeds.size(); ++i) {
        const auto below = at_speed(speeds, values, speeds[i] / neighbour);
        const auto above = at_speed(speeds, values, speeds[i] * neighbour);
        if (!below || !above || !(*below + *above > 0.0)) continue;
        worst = std::max(worst.value_or(0.0), 2.0 * values[i] / (*below + *above));
    }
    return worst;
}

/// The lowest speed from which on, up to the highest that tells, the transfer keeps below 1; if it
/// does not there, the highest of the run. A transfer of 0 is not known: it tells neither way.
double isolates_from(const SpeedCourse& course, const std::vector<double>& transfer) {
    std::vector<std::size_t> by_speed(course.speed.size());
    for (std::size_t i = 0; i < by_speed.size(); ++i) by_speed[i] = i;
    std::sort(by_speed.begin(), by_speed.end(),
              [&](std::size_t a, std::size_t b) { return course.speed[a] > course.speed[b]; });
    double from = course.speed[by_speed.front()];
    for (const std::size_t i : by_speed) {
        if (transfer[i] >= 1.0) break;
        if (transfer[i] > 0.0) from = course.speed[i];
    }
    return from;
}

}  // namespace

OrderCourse::OrderCourse(double firing_order)
    : order_(firing_order), half_orders_(static_cast<int>(std::lround(2.0 * firing_order))) {
    course_.order = firing_order;
}

void OrderCourse::add(const RunSample& sample) {
    if (!started_) {
        started_ = true;
        bound_ = sample.crank_angle + row_angle;
        first_ = sample.crank_angle;
    }
    if (sample.crank_angle >= bound_) {
        close();
        bound_ += row_angle;
        first_ = sample.crank_angle;
    }
    last_ = sample.crank_angle;
    const std::complex<double> half(std::cos(0.5 * sample.crank_angle),
                                    std::sin(0.5 * sample.crank_angle));
    const std::complex<double> firing = turned(half, half_orders_);
    basis_.add(firing);
    speed_.add(sample.flywheel_speed, firing);
    flywheel_.add(sample.flywheel_acceleration, firing);
    input_.add(sample.input_shaft_acceleration, firing);
    shaft_.add(sample.drive_shaft_torque, firing);
}

void OrderCourse::close() {
    const double step = basis_.count > 1.0 ? (last_ - first_) / (basis_.count - 1.0) : 0.0;
    const double turn = order_ * step;
    course_.speed.push_back(speed_.v / basis_.count);
    course_.flywheel_acceleration.push_back(amplitude(basis_, flywheel_, turn));
    course_.input_shaft_acceleration.push_back(amplitude(basis_, input_, turn));
    course_.drive_shaft_torque.push_back(amplitude(basis_, shaft_, turn));
    basis_ = {};
    speed_ = flywheel_ = input_ = shaft_ = {};
}

void OrderCourse::tell(const RunFacts& facts, Measured& measured) const {
    measured.course = course_;
    if (course_.speed.empty()) {
        measured.notes.emplace_back(
            "The measured part of the run is shorter than two engine cycles: no orders.");
        return;
    }
    const std::vector<double>& input = course_.input_shaft_acceleration;
    const std::size_t worst = largest(input);
    add_measure(measured, "input_shaft_acceleration_largest", "rad/s2", Better::less, input[worst],
                "Largest amplitude (0 to peak) of the input shaft's acceleration at the firing "
                "order along the run: least squares over the actual crank angle, over two engine "
                "cycles after the other.");
    add_measure(measured, "input_shaft_acceleration_largest_speed", "rad/s", Better::neither,
                course_.speed[worst],
                "Engine speed at which the input shaft's acceleration at the firing order is "
                "largest.");
    // Where gas and inertia forces of the engine cancel, a quotient of leftovers is no transfer.
    const std::vector<double>& flywheel = course_.flywheel_acceleration;
    const double least =
        std::max(swinging * flywheel[largest(flywheel)], std::numeric_limits<double>::min());
    std::vector<double> transfer;
    for (std::size_t i = 0; i < input.size(); ++i) {
        const double engine = course_.flywheel_acceleration[i];
        transfer.push_back(engine >= least ? input[i] / engine : 0.0);
    }
    add_measure(measured, "transfer_largest", "1", Better::less, transfer[largest(transfer)],
                "Largest ratio along the run of the input shaft's acceleration over that of the "
                "flywheel, both as amplitudes at the firing order, where the flywheel swings with "
                "at least four tenths of its most.");
    add_measure(measured, "transfer_largest_speed", "rad/s", Better::neither,
                course_.speed[largest(transfer)], "Engine speed at which that ratio is largest.");
    add_measure(
        measured, "isolation_speed", "rad/s", Better::less, isolates_from(course_, transfer),
        "Engine speed from which on, up to the highest at which the flywheel swings with at "
        "least four tenths of its most, the input shaft swings less than the flywheel at "
        "the firing order; the highest speed of the run if it does not.");
    double lifts = 0.0;
    for (const RunFacts::LooseGear& gear : facts.loose_gears) {
        lifts = std::max(lifts, threshold_ratio(gear, input[worst]));
    }
    if (!facts.loose_gears.empty()) {
        add_measure(measured, "threshold_ratio_largest", "1", Better::less, lifts,
                    "Inertia torque of a loose gear at the input shaft's largest acceleration "
                    "amplitude at the firing order, over the drag that holds it at the speed of "
                    "the start; the worst gear. Above 1 it lifts off.");
    }
    const std::vector<double>& shaft = course_.drive_shaft_torque;
    add_measure(measured, "drive_shaft_torque_largest", "N.m", Better::less, shaft[largest(shaft)],
                "Largest amplitude (0 to peak) of the torque in the drive shafts at the firing "
                "order along the run.");
    add_measure(measured, "drive_shaft_torque_largest_speed", "rad/s", Better::neither,
                course_.speed[largest(shaft)], "Engine speed at which that amplitude is largest.");
    if (const auto ratio = hump(course_.speed, shaft)) {
        add_measure(measured, "drive_shaft_torque_hump", "1", Better::less, *ratio,
                    "Amplitude of the torque in the drive shafts at the firing order over the mean "
                    "of what it is a quarter slower and a quarter faster; the largest along the "
                    "run. A resonance stands out of its neighbours.");
    }
}

void TorqueReversals::add(double time, double torque) {
    if (!any_) first_ = time;
    any_ = true;
    last_ = time;
    const int sign = torque > 0.0 ? 1 : torque < 0.0 ? -1 : sign_;
    if (sign_ != 0 && sign != sign_) count_ += 1.0;
    sign_ = sign;
}

void TorqueReversals::tell(Measured& measured) const {
    if (!(last_ > first_)) return;
    add_measure(measured, "torque_reversals", "1/s", Better::less, count_ / (last_ - first_),
                "How often per second the torque in the drive shafts changes its sign over the "
                "time that is measured.");
}

}  // namespace damper
