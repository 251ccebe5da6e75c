// SPDX-License-Identifier: MIT
#include "libdamper/measures/stage_use.hpp"

#include <algorithm>
#include <cstddef>
#include <fmt/format.h>
#include <limits>
#include <utility>

namespace damper {
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

StageCounter::StageCounter(std::vector<TwistRange> ranges)
    : ranges_(std::move(ranges)), counts_(ranges_.size()) {}

std::size_t StageCounter::range_of(double twist) const {
    std::size_t i = 0;
    while (i + 1 < ranges_.size() && twist >= ranges_[i].high) ++i;
    return i;
}

void StageCounter::add(double twist) {
    if (ranges_.empty()) return;
    samples_ += 1.0;
    if (samples_ == 1.0) {
        here_ = range_of(twist);
    } else if (twist >= ranges_[here_].low && twist < ranges_[here_].high) {
        counts_[here_].intervals += 1.0;
    } else {
        cross(range_of(twist), twist);
    }
    last_ = twist;
}

/// Shares the interval out among the ranges on the way.
void StageCounter::cross(std::size_t there, double twist) {
    if (there == here_) {
        counts_[here_].intervals += 1.0;
        return;
    }
    const double low = std::min(last_, twist);
    const double high = std::max(last_, twist);
    for (std::size_t r = std::min(here_, there); r <= std::max(here_, there); ++r) {
        const double inside = std::min(high, ranges_[r].high) - std::max(low, ranges_[r].low);
        counts_[r].intervals += inside / (high - low);
        if (r != here_) counts_[r].entries += 1.0;
    }
    here_ = there;
}

std::vector<StageUse> StageCounter::use(double step) const {
    std::vector<StageUse> out;
    out.reserve(ranges_.size());
    const bool any = samples_ >= 2.0 && step > 0.0;
    const double intervals = samples_ - 1.0;
    for (std::size_t r = 0; r < ranges_.size(); ++r) {
        out.push_back({ranges_[r].name, any ? counts_[r].intervals / intervals : 0.0,
                       any ? counts_[r].entries / (intervals * step) : 0.0});
    }
    return out;
}

std::vector<StageUse> stage_use(const std::vector<TwistRange>& ranges,
                                std::span<const double> twist, double step) {
    StageCounter counter(ranges);
    for (const double value : twist) counter.add(value);
    return counter.use(step);
}

}  // namespace damper
