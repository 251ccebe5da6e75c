// SPDX-License-Identifier: MIT
#include "libdamper/fit/bench_run.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>
#include <numeric>

namespace damper {

namespace {

constexpr double least_return = 0.02;       // of the range, to count as a turning point
constexpr double noise_return = 8.0;        // standard deviations of the twist, for the same
constexpr double median_to_sigma = 1.4826;  // of the absolute value of a normal variable
constexpr std::size_t fewest_in_branch = 4;
constexpr double same_turn = 0.01;  // of the range, within which loops turn at the same twist
constexpr double noise_beside_turn = 4.0;  // standard deviations of the twist
constexpr double degree = std::numbers::pi / 180.0;
constexpr double widest = 270.0 * degree;  // that a run may turn a disc, from end to end
constexpr std::size_t most_loops = 6;      // over all of the range, that are fitted

double median_of(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

double noise_of(const std::vector<double>& values) {
    std::vector<double> second;
    for (std::size_t i = 2; i < values.size(); ++i) {
        second.push_back(std::abs(values[i] - 2.0 * values[i - 1] + values[i - 2]));
    }
    return second.empty() ? 0.0 : median_to_sigma * median_of(std::move(second)) / std::sqrt(6.0);
}

/// Samples at which the twist turns round, with the first and the last one.
std::vector<std::size_t> turning_points(const std::vector<double>& twist, double back) {
    std::vector<std::size_t> turns{0};
    std::size_t lowest = 0, highest = 0;
    double sense = 0.0;
    for (std::size_t i = 1; i < twist.size(); ++i) {
        if (twist[i] > twist[highest]) highest = i;
        if (twist[i] < twist[lowest]) lowest = i;
        if (sense >= 0.0 && twist[highest] - twist[i] > back) {
            // At its begin a run only seems to turn, by noise.
            if (twist[highest] - twist[0] > back || sense > 0.0) turns.push_back(highest);
            sense = -1.0;
            lowest = highest = i;
        } else if (sense <= 0.0 && twist[i] - twist[lowest] > back) {
            if (twist[0] - twist[lowest] > back || sense < 0.0) turns.push_back(lowest);
            sense = 1.0;
            lowest = highest = i;
        }
    }
    turns.push_back(twist.size() - 1);
    return turns;
}

/// A turning point with the samples beside it that may belong to either way.
struct Turn {
    std::size_t at = 0, guard = 0;
    double twist = 0.0;
};

/// Where exactly a run turns round: the mean of the samples about the turn, plus what the mean of a
/// tip lies below it.
Turn turn_at(const std::vector<double>& twist, std::size_t at, double noise, std::size_t shorter) {
    Turn turn{.at = at, .guard = 0, .twist = twist[at]};
    const std::size_t reach = std::max<std::size_t>(1, shorter / 10);
    const std::size_t before = at > reach ? at - reach : 0;
    const std::size_t behind = std::min(at + reach, twist.size() - 1);
    const double rate =
        0.5 * (std::abs(twist[at] - twist[before]) + std::abs(twist[at] - twist[behind])) /
        static_cast<double>(reach);
    if (rate > 0.0) {
        const double blurred = noise_beside_turn * noise / rate;
        turn.guard =
            static_cast<std::size_t>(std::min(blurred, static_cast<double>(shorter) / 20.0));
    }
    const std::size_t begin = at > turn.guard ? at - turn.guard : 0;
    const std::size_t end = std::min(at + turn.guard + 1, twist.size());
    double sum = 0.0;
    for (std::size_t i = begin; i < end; ++i) sum += twist[i];
    const double mean = sum / static_cast<double>(end - begin);
    const bool inside = at > 0 && at + 1 < twist.size();
    const double sense = twist[at] > 0.5 * (twist[before] + twist[behind]) ? 1.0 : -1.0;
    turn.twist = mean + (inside ? 0.5 * sense * rate * static_cast<double>(turn.guard) : 0.0);
    return turn;
}

void check_slope(const BenchRun& run) {
    const auto n = static_cast<double>(run.twist.size());
    const double mean_twist = std::accumulate(run.twist.begin(), run.twist.end(), 0.0) / n;
    const double mean_torque = std::accumulate(run.torque.begin(), run.torque.end(), 0.0) / n;
    double both = 0.0;
    for (std::size_t i = 0; i < run.twist.size(); ++i) {
        both += (run.twist[i] - mean_twist) * (run.torque[i] - mean_torque);
    }
    if (both > 0.0) return;
    throw InputError(
        {{{run.name, 0, 0, ""},
          "torque",
          "a torque that falls while the twist grows",
          "a torque that grows with the twist",
          "Turn the sign of one of the two columns, so that the drive side is positive "
          "in both."}});
}

double loop_area(const BenchRun& run) {
    double area = 0.0;
    for (std::size_t i = 1; i < run.twist.size(); ++i) {
        area += 0.5 * (run.torque[i] + run.torque[i - 1]) * (run.twist[i] - run.twist[i - 1]);
    }
    const std::size_t last = run.twist.size() - 1;  // closed by a straight line
    return area + 0.5 * (run.torque[0] + run.torque[last]) * (run.twist[0] - run.twist[last]);
}

/// Which branches are fitted. Groups are shared out among them, and with many loops they would grow
/// too coarse for the corners of a stage: of loops that repeat the whole range a few are enough,
/// spread over the run so that its drift is still seen.
std::vector<char> worth_fitting(const std::vector<BenchBranch>& branches, double low, double high,
                                double same) {
    std::vector<char> worth(branches.size(), 1);
    std::vector<std::size_t> loops;  // each by its first way
    const auto all_of_it = [&](const BenchBranch& one) {
        return std::min(one.from, one.to) < low + same && std::max(one.from, one.to) > high - same;
    };
    for (std::size_t b = 1; b + 1 < branches.size(); ++b) {
        if (!all_of_it(branches[b]) || !all_of_it(branches[b + 1])) continue;
        loops.push_back(b);
        ++b;
    }
    if (loops.size() <= most_loops) return worth;
    for (const std::size_t b : loops) worth[b] = worth[b + 1] = 0;
    for (std::size_t i = 0; i < most_loops; ++i) {
        const std::size_t b = loops[i * (loops.size() - 1) / (most_loops - 1)];
        worth[b] = worth[b + 1] = 1;
    }
    return worth;
}

void add_groups(const BenchRun& run, std::size_t branch, std::size_t size, GroupedRun& out) {
    const BenchBranch& one = out.branches[branch];
    const std::size_t count = one.end - one.begin;
    const std::size_t parts = std::max<std::size_t>(1, (count + size / 2) / size);
    const std::size_t first = out.groups.size();
    for (std::size_t part = 0; part < parts; ++part) {
        const std::size_t begin = one.begin + count * part / parts;
        const std::size_t end = one.begin + count * (part + 1) / parts;
        BenchGroup group{.samples = static_cast<double>(end - begin), .branch = branch};
        for (std::size_t i = begin; i < end; ++i) {
            group.twist += run.twist[i];
            group.torque += run.torque[i];
            group.position += static_cast<double>(i);
        }
        group.twist /= group.samples;
        group.torque /= group.samples;
        group.position /= group.samples * static_cast<double>(run.twist.size());
        out.groups.push_back(group);
    }
    if (size == 1) return;
    for (std::size_t part = 0; part < parts && parts > 1; ++part) {
        const std::size_t before = first + (part > 0 ? part - 1 : 0);
        const std::size_t behind = first + std::min(part + 1, parts - 1);
        out.groups[first + part].span = (out.groups[behind].twist - out.groups[before].twist) /
                                        static_cast<double>(behind - before);
    }
}

}  // namespace

GroupedRun grouped(const BenchRun& run, std::size_t groups) {
    GroupedRun out;
    out.name = run.name;
    const auto [low, high] = std::minmax_element(run.twist.begin(), run.twist.end());
    const auto [least, most] = std::minmax_element(run.torque.begin(), run.torque.end());
    if (run.twist.empty() || !(*high > *low) || !(*most > *least)) {
        throw InputError({{{run.name, 0, 0, ""},
                           run.twist.empty() || *high > *low ? "torque" : "twist",
                           "the same value in every row",
                           "a loop: twist and torque that grow and fall",
                           ""}});
    }
    if (*high - *low > widest) {
        throw InputError(
            {{{run.name, 0, 0, ""},
              "twist",
              fmt::format("a twist that goes through {:.0f} deg", (*high - *low) / degree),
              fmt::format("at most {:.0f} deg; a disc turns some tens of degrees", widest / degree),
              "The unit may be wrong: name the column \"twist [deg]\" or \"twist "
              "[rad]\", as the bench wrote it."}});
    }
    check_slope(run);
    out.torque_range = *most - *least;
    out.twist_noise = noise_of(run.twist);
    out.torque_noise = noise_of(run.torque);
    const double back = std::max(least_return * (*high - *low), noise_return * out.twist_noise);
    const std::vector<std::size_t> turns = turning_points(run.twist, back);
    std::vector<Turn> exact;
    for (std::size_t i = 0; i < turns.size(); ++i) {
        const std::size_t before = i > 0 ? turns[i] - turns[i - 1] : run.twist.size();
        const std::size_t behind =
            i + 1 < turns.size() ? turns[i + 1] - turns[i] : run.twist.size();
        exact.push_back(turn_at(run.twist, turns[i], out.twist_noise, std::min(before, behind)));
    }
    out.low = out.high = exact[0].twist;
    for (const Turn& turn : exact) {
        out.low = std::min(out.low, turn.twist);
        out.high = std::max(out.high, turn.twist);
    }
    const double same = std::max(0.5 * out.twist_noise, same_turn * (out.high - out.low));
    double lows = 0.0, highs = 0.0, low_sum = 0.0, high_sum = 0.0;
    for (const Turn& turn : exact) {
        if (turn.twist < out.low + same) low_sum += turn.twist, lows += 1.0;
        if (turn.twist > out.high - same) high_sum += turn.twist, highs += 1.0;
    }
    for (std::size_t i = 1; i < exact.size(); ++i) {
        const bool first = i == 1, last = i + 1 == exact.size();
        const Turn& from = exact[i - 1];
        out.branches.push_back(
            {.from = from.twist,
             .to = exact[i].twist,
             .begin = first ? 0 : from.at + from.guard + 1,
             .end = last ? run.twist.size() : exact[i].at - exact[i].guard + 1,
             .from_end = first || from.twist < out.low + same || from.twist > out.high - same});
    }
    const std::vector<char> worth = worth_fitting(out.branches, out.low, out.high, same);
    out.low = low_sum / lows;
    out.high = high_sum / highs;
    const auto longer = [&](const BenchBranch& branch) {
        return std::abs(branch.to - branch.from) > 0.5 * (*high - *low);
    };
    const auto ways = std::count_if(out.branches.begin(), out.branches.end(), longer);
    out.loops = static_cast<int>(ways / 2);
    const bool there_and_back = std::any_of(out.branches.begin(), out.branches.end(),
                                            [](const auto& b) { return b.rising(); }) &&
                                std::any_of(out.branches.begin(), out.branches.end(),
                                            [](const auto& b) { return !b.rising(); });
    if (!there_and_back || out.branches.size() < 2) {
        throw InputError(
            {{{run.name, 0, 0, ""},
              "twist",
              "a twist that goes one way only",
              "a loop: up and down again, in the order in which it was measured",
              "Friction is the difference between the two ways; record both, or give the two ways "
              "as columns \"torque rising\" and \"torque falling\"."}});
    }
    if (loop_area(run) < 0.0) {
        throw InputError(
            {{{run.name, 0, 0, ""},
              "torque",
              "a loop that runs the wrong way round: less torque while the twist grows",
              "more torque while the twist grows than while it falls",
              "The rows may be in reverse order, or the two ways exchanged."}});
    }
    const bool leave_out = out.branches.size() > 3;
    std::size_t samples = 0;
    for (std::size_t b = leave_out ? 1 : 0; b < out.branches.size(); ++b) {
        if (worth[b] == 0) continue;
        samples += std::max(out.branches[b].end, out.branches[b].begin) - out.branches[b].begin;
    }
    const std::size_t size = std::max<std::size_t>(1, (samples + groups / 2) / groups);
    for (std::size_t b = 0; b < out.branches.size(); ++b) {
        const BenchBranch& branch = out.branches[b];
        if (branch.end < branch.begin + fewest_in_branch) continue;
        const std::size_t count = branch.end - branch.begin;
        if (b == 0 && leave_out) {
            out.left_out = count;
            continue;
        }
        if (worth[b] == 0) {
            out.passed_over += count;
            continue;
        }
        add_groups(run, b, std::min(size, std::max<std::size_t>(1, count / fewest_in_branch)), out);
    }
    return out;
}

}  // namespace damper
