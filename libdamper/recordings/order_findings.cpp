// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/numerics/four_point.hpp"
#include "libdamper/recordings/enough.hpp"
#include "libdamper/recordings/quality.hpp"
#include "libdamper/recordings/shaft_motion.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <numbers>

namespace damper {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr double no_value = std::numeric_limits<double>::quiet_NaN();
constexpr double run_up_from = 0.15;  // range of the speed over its mean
constexpr int cycles_a_block = 2;
constexpr int few_blocks = enough::engine_cycles / cycles_a_block, fewest_blocks = 2;
constexpr double poor_sampling = 0.05;  // what interpolation may take off the firing order

double sampled_per_revolution(const ShaftMotion& motion) {
    return turn * static_cast<double>(motion.time.size() - 1) /
           (motion.angle.back() - motion.angle.front());
}

AngleSeries series_of(const ShaftMotion& motion) {
    const double sampled = sampled_per_revolution(motion);
    AngleSeries out =
        over_angle(motion.time, motion.angle, motion.speed, steps_a_revolution(sampled),
                   motion.time.front(), motion.time.back());
    out.averaged_over = motion.averaged_over;
    return out;
}

/// The firing order: as said, or the strongest of 1 to 4 in steps of ½ (2 to 8 cylinders).
double firing_order_of(const OrderBlocks& blocks, int cylinders, RecordingFindings& findings) {
    if (cylinders > 0) return 0.5 * cylinders;
    double best = 0.0, most = 0.0;
    for (double order = 1.0; order <= 4.0; order += 0.5) {
        if (order_index(order) >= blocks.orders()) break;
        const double value = order * order_magnitude(blocks, order).value;
        if (value > most) {
            most = value;
            best = order;
        }
    }
    if (best > 0.0) {
        note(
            findings, QualityWeight::remark, "firing order",
            fmt::format("The number of cylinders was not said; order {:g}, the strongest, is taken "
                        "as the firing order.",
                        best));
    }
    return best;
}

bool long_enough(const OrderBlocks& blocks, RecordingFindings& findings) {
    const auto count = static_cast<int>(blocks.block.size());
    if (count < fewest_blocks) {
        note(findings, QualityWeight::unusable, "too short",
             fmt::format("It has less than {} engine cycles in which the shaft can be followed; it "
                         "takes {} for a figure with an interval.",
                         fewest_blocks * cycles_a_block, few_blocks * cycles_a_block));
        return false;
    }
    if (count < few_blocks) {
        note(findings, QualityWeight::doubt, "too short",
             fmt::format("It has only {} engine cycles; {} make the intervals worth something.",
                         count * cycles_a_block, few_blocks * cycles_a_block));
    }
    return true;
}

/// False if the firing order is beyond what the recording shows.
bool fine_enough(const AngleSeries& series, const OrderBlocks& blocks, double firing,
                 RecordingFindings& findings) {
    if (firing <= 0.0 || order_index(firing) >= blocks.orders()) {
        note(findings, QualityWeight::unusable, "sampling",
             fmt::format("{:.3g} values a revolution are too few for order {:g}: it takes at least "
                         "{:.0f}, and {:.0f} to lose little.",
                         series.sampled_per_revolution, std::max(1.0, firing),
                         std::ceil(2.5 * std::max(1.0, firing)),
                         enough::values_an_order * std::max(1.0, firing)));
        return false;
    }
    const double error = cubic_error(turn * firing / series.sampled_per_revolution);
    note(findings, error > poor_sampling ? QualityWeight::doubt : QualityWeight::remark, "sampling",
         fmt::format("{:.3g} values a revolution; bringing them to the crank's angle takes at most "
                     "{:.2g} % off order {:g}.",
                     series.sampled_per_revolution, 100.0 * error, firing));
    return true;
}

void take_speeds(const OrderBlocks& blocks, RecordingFindings& findings) {
    findings.lowest_speed = findings.highest_speed = blocks.block.front().mean_speed;
    for (const OrderBlock& block : blocks.block) {
        findings.lowest_speed = std::min(findings.lowest_speed, block.mean_speed);
        findings.highest_speed = std::max(findings.highest_speed, block.mean_speed);
    }
    findings.run_up = findings.highest_speed - findings.lowest_speed >
                      run_up_from * 0.5 * (findings.highest_speed + findings.lowest_speed);
}

double acceleration_of(const OrderBlock& block, double order) {
    return order * block.mean_speed * std::abs(block.amplitude[order_index(order)]);
}

/// The row of an order, made where it is not there yet.
OrderRow& row_of(RecordingFindings& findings, double order) {
    const auto found = std::ranges::find(findings.orders, order, &OrderRow::order);
    if (found != findings.orders.end()) return *found;
    findings.orders.push_back({.order = order,
                               .flywheel = no_value,
                               .flywheel_half_width = no_value,
                               .input = no_value,
                               .input_half_width = no_value,
                               .ratio = no_value,
                               .ratio_half_width = no_value,
                               .coherence = no_value});
    return findings.orders.back();
}

void take_orders(const OrderBlocks& blocks, RecordedShaft shaft, RecordingFindings& findings) {
    for (std::size_t k = 0; k < blocks.orders(); ++k) {
        const double order = 0.5 * static_cast<double>(k + 1);
        const BlockFigure figure = order_magnitude(blocks, order);
        OrderRow& row = row_of(findings, order);
        if (shaft == RecordedShaft::flywheel) {
            row.flywheel = figure.value;
            row.flywheel_half_width = figure.half_width;
        } else {
            row.input = figure.value;
            row.input_half_width = figure.half_width;
        }
    }
}

void take_track(const OrderBlocks& blocks, RecordedShaft shaft, double firing,
                RecordingFindings& findings) {
    const bool input = shaft == RecordedShaft::input;
    if (input && findings.track.size() == blocks.block.size()) return;  // told by the isolation
    if (!findings.track.empty()) return;
    for (const OrderBlock& block : blocks.block) {
        const double value = acceleration_of(block, firing);
        findings.track.push_back(
            {block.time, block.mean_speed, input ? no_value : value, input ? value : no_value});
    }
}

BlockFigure over(const BlockFigure& top, const BlockFigure& bottom) {
    if (!(bottom.value > 0.0)) return {0.0, std::numeric_limits<double>::infinity()};
    const double ratio = top.value / bottom.value;
    return {ratio, std::hypot(top.half_width, ratio * bottom.half_width) / bottom.value};
}

void take_balance(const OrderBlocks& steady, double firing, const RecordingRequest& request,
                  RecordingFindings& findings) {
    const BlockFigure at_firing = steady_magnitude(steady, firing);
    const auto tell = [&](const char* key, const char* ratio_key, double order) {
        if (order >= firing || order_index(order) >= steady.orders()) return;
        const BlockFigure figure = steady_magnitude(steady, order);
        add_figure(findings, key, figure.value, "rad/s", figure.half_width);
        const BlockFigure ratio = over(figure, at_firing);
        add_figure(findings, ratio_key, ratio.value, "1", ratio.half_width);
    };
    tell("flywheel_half_order_speed", "half_order_ratio", 0.5);
    tell("flywheel_first_order_speed", "first_order_ratio", 1.0);
    const int cylinders = static_cast<int>(std::lround(2.0 * firing));
    const CylinderBalance balance = cylinder_balance(
        steady, cylinders, request.pulse ? *request.pulse : typical_pulse(cylinders + 1));
    if (balance.share.empty()) return;
    for (std::size_t k = 0; k < balance.share.size(); ++k) {
        findings.cylinders.push_back({balance.share[k], balance.half_width[k]});
    }
    const auto weakest = std::ranges::min_element(balance.share);
    const auto strongest = std::ranges::max_element(balance.share);
    const auto width = [&](auto at) {
        return balance.half_width[static_cast<std::size_t>(at - balance.share.begin())];
    };
    add_figure(findings, "weakest_cylinder", *weakest, "1", width(weakest));
    add_figure(findings, "strongest_cylinder", *strongest, "1", width(strongest));
    findings.cylinder_reading =
        balance.known
            ? "In the order of firing. Which of them is cylinder 1 a speed alone cannot tell, nor "
              "what all of them lack. Who is weak and who is strong is sure within the intervals; "
              "how much rests on the shape of a cylinder's torque, and on a driveline that does "
              "not resonate at the low orders."
            : "No difference between the cylinders rises over its scatter.";
    if (!request.pulse) {
        findings.cylinder_reading +=
            " The shape of the torque is a typical one at idle: shares may be three times too "
            "large or too small.";
    }
}

/// Cuts both to the angles that they share.
void trim_to_common(AngleSeries& a, AngleSeries& b) {
    const double step = turn / a.per_revolution;
    const auto cut_front = [&](AngleSeries& one, double first) {
        const auto n =
            static_cast<std::size_t>(std::max(0.0, std::round((first - one.first_angle) / step)));
        const auto few = static_cast<std::ptrdiff_t>(std::min(n, one.speed.size()));
        one.time.erase(one.time.begin(), one.time.begin() + few);
        one.speed.erase(one.speed.begin(), one.speed.begin() + few);
        one.first_angle += static_cast<double>(few) * step;
    };
    const double first = std::max(a.first_angle, b.first_angle);
    cut_front(a, first);
    cut_front(b, first);
    const std::size_t count = std::min(a.speed.size(), b.speed.size());
    for (AngleSeries* one : {&a, &b}) {
        one->time.resize(count);
        one->speed.resize(count);
    }
}

std::vector<double> at_times(const ShaftMotion& motion, const std::vector<double>& values,
                             const std::vector<double>& times) {
    std::vector<double> out;
    std::size_t hint = 0;
    for (const double t : times) out.push_back(four_point(motion.time, values, t, hint));
    return out;
}

/// A motion between two times.
ShaftMotion between(const ShaftMotion& motion, double from, double to) {
    ShaftMotion out{.shaft = motion.shaft, .recording = motion.recording};
    out.averaged_over = motion.averaged_over;
    for (std::size_t i = 0; i < motion.time.size(); ++i) {
        if (motion.time[i] < from || motion.time[i] > to) continue;
        out.time.push_back(motion.time[i]);
        out.speed.push_back(motion.speed[i]);
        out.angle.push_back(motion.angle[i]);
    }
    return out;
}

}  // namespace

void find_orders(const ShaftMotion& motion, const RecordingRequest& request,
                 RecordingFindings& findings) {
    const bool input = motion.shaft == RecordedShaft::input;
    // Before anything is made of it: the angle may be thousands of revolutions a row.
    constexpr double fewest = 2.5 * 0.5;
    const double sampled = sampled_per_revolution(motion);
    if (!(sampled >= fewest)) {
        note(findings, QualityWeight::unusable, "sampling",
             fmt::format("{:.2g} values a revolution show no order at all.", sampled));
        return;
    }
    const AngleSeries series = series_of(motion);
    const OrderBlocks blocks = order_blocks(series, request.highest_order, cycles_a_block);
    if (!long_enough(blocks, findings)) return;
    take_speeds(blocks, findings);
    const double firing = firing_order_of(blocks, request.cylinders, findings);
    findings.firing_order = firing;
    if (!fine_enough(series, blocks, firing, findings)) return;
    take_orders(blocks, motion.shaft, findings);
    take_track(blocks, motion.shaft, firing, findings);
    if (!input || !findings.figure("mean_speed")) {
        findings.mean_speed = mean_speed(motion);
        add_figure(findings, "mean_speed", findings.mean_speed, "rad/s",
                   0.5 * (findings.highest_speed - findings.lowest_speed));
    }
    if (findings.run_up) {
        note(findings, QualityWeight::remark, "run-up",
             "The speed goes through a range: the track tells more than any mean, and means over "
             "it are left out.");
        return;
    }
    const BlockFigure speed = order_magnitude(blocks, firing);
    const double frequency = firing * findings.mean_speed;
    add_figure(findings, input ? "input_firing_speed" : "flywheel_firing_speed", speed.value,
               "rad/s", speed.half_width);
    add_figure(findings, input ? "input_firing_acceleration" : "flywheel_firing_acceleration",
               frequency * speed.value, "rad/s2", frequency * speed.half_width);
    if (!input) take_balance(aligned(blocks, firing), firing, request, findings);
}

void find_isolation(const ShaftMotion& flywheel, const ShaftMotion& input,
                    const RecordingRequest& request, RecordingFindings& findings) {
    const double from = std::max(flywheel.time.front(), input.time.front());
    const double to = std::min(flywheel.time.back(), input.time.back());
    const double firing = findings.firing_order;
    if (!(firing > 0.0) || !findings.usable()) return;
    if (!(to > from)) {
        note(findings, QualityWeight::remark, "isolation",
             "The recordings of flywheel and gearbox input do not overlap in time.");
        return;
    }
    if (flywheel.recording != input.recording) {
        note(findings, QualityWeight::remark, "clock",
             "The two recordings are taken as those of one clock; with clocks of their own, the "
             "isolation is worth nothing.");
    }
    const ShaftMotion x = between(flywheel, from, to), y = between(input, from, to);
    if (x.time.size() < 4 || y.time.size() < 4) return;
    const double sampled = turn * static_cast<double>(std::min(x.time.size(), y.time.size())) /
                           (x.angle.back() - x.angle.front());
    const int steps = steps_a_revolution(sampled);
    AngleSeries a = over_angle(x.time, x.angle, x.speed, steps, from, to);
    AngleSeries b =
        over_angle(y.time, at_times(flywheel, flywheel.angle, y.time), y.speed, steps, from, to);
    a.averaged_over = x.averaged_over;
    b.averaged_over = y.averaged_over;
    trim_to_common(a, b);
    const OrderBlocks from_blocks = order_blocks(a, request.highest_order, cycles_a_block);
    const OrderBlocks to_blocks = order_blocks(b, request.highest_order, cycles_a_block);
    if (order_index(firing) >= std::min(from_blocks.orders(), to_blocks.orders())) return;
    constexpr double apart = 0.05;  // of the mean speed
    const double ratio_of_means =
        to_blocks.block.front().mean_speed / from_blocks.block.front().mean_speed;
    if (std::abs(ratio_of_means - 1.0) > apart) {
        note(findings, QualityWeight::doubt, "slip",
             fmt::format("The gearbox input turns at {:.3g} times the flywheel's speed: the clutch "
                         "slips or is open, or a tooth count is wrong.",
                         ratio_of_means));
    }
    const std::size_t count = std::min(from_blocks.block.size(), to_blocks.block.size());
    findings.track.clear();
    for (std::size_t i = 0; i < count; ++i) {
        findings.track.push_back({from_blocks.block[i].time, from_blocks.block[i].mean_speed,
                                  acceleration_of(from_blocks.block[i], firing),
                                  acceleration_of(to_blocks.block[i], firing)});
    }
    if (findings.run_up) return;
    take_orders(from_blocks, RecordedShaft::flywheel, findings);
    take_orders(to_blocks, RecordedShaft::input, findings);
    for (std::size_t k = 0; k < std::min(from_blocks.orders(), to_blocks.orders()); ++k) {
        const OrderTransfer transfer =
            order_transfer(from_blocks, to_blocks, 0.5 * static_cast<double>(k + 1));
        OrderRow& row = row_of(findings, transfer.order);
        row.ratio = transfer.ratio;
        row.ratio_half_width = transfer.half_width;
        row.coherence = transfer.coherence;
        if (transfer.order == firing) {
            add_figure(findings, "isolation_firing", transfer.ratio, "1", transfer.half_width);
            add_figure(findings, "isolation_firing_coherence", transfer.coherence, "1",
                       std::numeric_limits<double>::infinity());
            constexpr double poor = 0.7;
            if (transfer.coherence < poor) {
                note(findings, QualityWeight::doubt, "coherence",
                     fmt::format("At the firing order only {:.0f} % of what the gearbox input does "
                                 "follows the flywheel.",
                                 100.0 * transfer.coherence));
            }
        } else if (transfer.order == 0.5) {
            add_figure(findings, "isolation_half_order", transfer.ratio, "1", transfer.half_width);
        }
    }
}

}  // namespace damper
