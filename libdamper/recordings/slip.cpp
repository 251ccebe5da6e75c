// SPDX-License-Identifier: MIT
#include "libdamper/recordings/slip.hpp"

#include "libdamper/numerics/four_point.hpp"
#include "libdamper/signals/filter.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr double slip_step = 1e-3;    // [s]
constexpr double turns = 1.0;         // [rad/s]: 10 rpm
constexpr double smooth_slip = 5.0;   // [Hz]
constexpr double spread = 0.1;        // [s] that smoothing spreads an end over
constexpr double small_share = 0.02;  // of the largest slip: more than springs make of its mean
constexpr double large_share = 0.2;   // of it: more than springs make of it from swing to swing
constexpr double quick = 0.05;        // [s] from there to nothing, where it ends at once
constexpr double creeps = 0.3;        // [rad/s] of mean slip: 3 rpm

std::size_t stuck_from(const std::vector<double>& slip, double step) {
    const double largest = *std::ranges::max_element(slip);
    const auto within = [&](double time) { return static_cast<std::size_t>(time / step); };
    const std::vector<double> smooth = low_pass_zero_phase(slip, step, smooth_slip);
    std::size_t last = smooth.size();
    while (last > 0 && smooth[last - 1] < small_share * largest) --last;
    const std::size_t from = last > within(spread) ? last - within(spread) : 0;
    for (std::size_t i = last; i-- > from;) {
        if (!(slip[i] > large_share * largest)) continue;
        const std::size_t late = std::min(slip.size(), i + within(quick));
        while (i < late && slip[i] > 0.0) ++i;
        if (i < late) return i;
        break;
    }
    while (last < smooth.size() && smooth[last] > creeps) ++last;
    return last;
}

}  // namespace

SlipPart slip_part(const std::vector<double>& engine, const std::vector<double>& driven,
                   double step) {
    const std::size_t count = engine.size();
    SlipPart out{count, count};
    std::vector<double> slip;
    slip.reserve(count);
    for (std::size_t i = 0; i < count; ++i) {
        slip.push_back(engine[i] - driven[i]);
        if (out.first == count && !(driven[i] < turns)) out.first = i;
    }
    constexpr std::size_t fewest = 16;  // for a filter
    if (count > fewest) out.stuck = stuck_from(slip, step);
    return out;
}

std::optional<SlipTime> slip_time(const SpeedOverTime& engine, const SpeedOverTime& driven) {
    constexpr double shortest = 0.5;  // [s]
    if (engine.time.size() < 4 || driven.time.size() < 4) return std::nullopt;
    const double from = engine.time.front();
    const double to = std::min(engine.time.back(), driven.time.back());
    if (!(to - from > shortest)) return std::nullopt;
    const auto count = static_cast<std::size_t>((to - from) / slip_step) + 1;
    const auto at_steps = [&](const SpeedOverTime& one) {
        return four_point_at_steps(one.time, one.speed, from, slip_step, count);
    };
    std::vector<double> turned = at_steps(driven);
    for (std::size_t i = 0; i < count; ++i) {
        if (from + static_cast<double>(i) * slip_step < driven.time.front()) turned[i] = 0.0;
    }
    const std::vector<double> engine_speed = at_steps(engine);
    const SlipPart part = slip_part(engine_speed, turned, slip_step);
    if (part.first >= count || part.stuck <= part.first) return std::nullopt;
    constexpr double runs = 20.0;  // [rad/s]: 190 rpm, more than a starter makes
    return SlipTime{.begins = from + static_cast<double>(part.first) * slip_step,
                    .ends = from + static_cast<double>(std::min(part.stuck, count - 1)) * slip_step,
                    .from_rest = part.first > 0 && engine_speed[part.first] > runs,
                    .sticks = part.stuck < count};
}

bool looks_like_take_up(const SpeedOverTime& engine, const SpeedOverTime& driven) {
    constexpr double shortest = 0.2, longest = 20.0;  // [s]; common practice, no source
    const auto slip = slip_time(engine, driven);
    if (!slip || !slip->from_rest || !slip->sticks) return false;
    const double lasts = slip->ends - slip->begins;
    return lasts > shortest && lasts < longest;
}

}  // namespace damper
