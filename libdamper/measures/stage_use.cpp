// SPDX-License-Identifier: MIT
#include "libdamper/measures/stage_use.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <fmt/format.h>
#include <limits>

namespace damper {
namespace {

std::size_t range_of(const std::vector<TwistRange>& ranges, double twist) {
    std::size_t i = 0;
    while (i + 1 < ranges.size() && twist >= ranges[i].high) ++i;
    return i;
}

}  // namespace

std::string stage_name(const std::vector<RunFacts::Stage>& stages, std::size_t index) {
    return stages[index].name.empty() ? fmt::format("stage {}", index + 1) : stages[index].name;
}

std::vector<TwistRange> twist_ranges(const std::vector<RunFacts::Stage>& stages) {
    constexpr double endless = std::numeric_limits<double>::infinity();
    std::vector<TwistRange> ranges;
    if (stages.empty()) return ranges;
    const std::size_t last = stages.size() - 1;
    const auto name = [&](std::size_t s) { return stage_name(stages, s); };
    ranges.push_back({"coast stop", -endless, stages.back().coast_end, TwistRange::Kind::coast_stop,
                      false, last});
    for (std::size_t s = stages.size(); s-- > 1;) {
        const double low = stages[s].coast_end;
        const double high = stages[s - 1].coast_end;
        if (low < high) {
            ranges.push_back({name(s) + " (coast)", low, high, TwistRange::Kind::stage, false, s});
        }
    }
    ranges.push_back(
        {name(0), stages[0].coast_end, stages[0].drive_end, TwistRange::Kind::stage, true, 0});
    for (std::size_t s = 1; s < stages.size(); ++s) {
        const double low = stages[s - 1].drive_end;
        const double high = stages[s].drive_end;
        if (low < high) {
            ranges.push_back({name(s), low, high, TwistRange::Kind::stage, false, s});
        }
    }
    ranges.push_back({"drive stop", stages.back().drive_end, endless, TwistRange::Kind::drive_stop,
                      false, last});
    return ranges;
}

bool has_idle_stage(const RunFacts& facts) {
    constexpr double most = 0.15;  // of peak torque
    return facts.stages.size() > 1 && facts.engine_peak_torque > 0.0 &&
           facts.stages.front().torque_at_drive_end < most * facts.engine_peak_torque;
}

std::vector<StageUse> stage_use(const std::vector<TwistRange>& ranges,
                                std::span<const double> twist, double step) {
    std::vector<StageUse> use;
    use.reserve(ranges.size());
    for (const TwistRange& range : ranges) use.push_back({range.name, 0.0, 0.0});
    if (ranges.empty() || twist.size() < 2 || !(step > 0.0)) return use;

    const auto intervals = static_cast<double>(twist.size() - 1);
    std::size_t here = range_of(ranges, twist[0]);
    for (std::size_t i = 1; i < twist.size(); ++i) {
        const std::size_t there = range_of(ranges, twist[i]);
        const double low = std::min(twist[i - 1], twist[i]);
        const double high = std::max(twist[i - 1], twist[i]);
        if (here == there) {
            use[here].share += 1.0;
        } else {
            for (std::size_t r = std::min(here, there); r <= std::max(here, there); ++r) {
                const double inside = std::min(high, ranges[r].high) - std::max(low, ranges[r].low);
                use[r].share += inside / (high - low);
                if (r != here) use[r].entries += 1.0;
            }
        }
        here = there;
    }
    for (StageUse& one : use) {
        one.share /= intervals;
        one.entries /= intervals * step;
    }
    return use;
}

}  // namespace damper
