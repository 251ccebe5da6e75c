// SPDX-License-Identifier: MIT
#include "libdamper/studies/against_baseline.hpp"

#include "libdamper/studies/built_in_tolerances.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <limits>
#include <map>

namespace damper {

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();
constexpr double infinite = std::numeric_limits<double>::infinity();
/// Numbers of a stored baseline are rounded to this share of themselves; no tolerance is less.
constexpr double rounding = 1e-8;

/// The parts of a tolerance that decide, in words for the reader of a miss.
struct Allowed {
    double width = 0.0;
    std::string why;
    void take(double candidate, const std::string& reason) {
        if (!std::isfinite(candidate) || candidate <= width) return;
        width = candidate;
        why = reason;
    }
};

Allowed allowed_of(const Tolerance& tolerance, double scale, double certainty) {
    Allowed allowed;
    allowed.width = rounding * std::abs(scale);
    allowed.why = "no difference allowed";
    if (tolerance.relative) {
        allowed.take(*tolerance.relative * std::abs(scale),
                     fmt::format("{:.4g} % allowed", 100.0 * *tolerance.relative));
    }
    if (tolerance.absolute) allowed.take(*tolerance.absolute, "absolute tolerance");
    if (tolerance.intervals) {
        allowed.take(*tolerance.intervals * certainty,
                     fmt::format("{:.3g} times the 95 % interval of both", *tolerance.intervals));
    }
    return allowed;
}

template <class Named>
const Named* find_named(const std::vector<Named>& list, const std::string& name) {
    const auto found =
        std::ranges::find_if(list, [&](const Named& one) { return one.name == name; });
    return found == list.end() ? nullptr : &*found;
}

CheckedValue lacking(const std::string& name, const std::string& units, CheckedAgainst against,
                     double expected, std::string why) {
    return {name,     units, against,   nothing, expected,      expected,
            expected, 0.0,   -infinite, false,   std::move(why)};
}

CheckedValue held(const BaselineMeasure& stored, const BaselineMeasure& now,
                  const Tolerance& tolerance) {
    CheckedValue out{.name = stored.name,
                     .units = stored.units,
                     .against = CheckedAgainst::baseline,
                     .value = now.value,
                     .low = stored.value,
                     .high = stored.value,
                     .expected = stored.value,
                     .time = 0.0,
                     .margin = 1.0,
                     .kept = true,
                     .why = ""};
    if (std::isnan(stored.value) && std::isnan(now.value)) {
        out.why = "no number, as before";
        return out;
    }
    if (now.units != stored.units) {
        return lacking(stored.name, stored.units, CheckedAgainst::baseline, stored.value,
                       fmt::format("it is now given in {}, not in {}", now.units, stored.units));
    }
    const Allowed allowed =
        allowed_of(tolerance, stored.value, std::hypot(stored.half_width, now.half_width));
    out.low = stored.value - allowed.width;
    out.high = stored.value + allowed.width;
    out.why = allowed.why;
    set_margin(out);
    return out;
}

CheckedValue held(const BaselineSignal& stored, const BaselineSignal& now,
                  const std::vector<double>& time, const Tolerance& tolerance) {
    const auto [lowest, highest] = std::ranges::minmax_element(stored.values);
    const double range = stored.values.empty() ? 0.0 : *highest - *lowest;
    const double largest =
        stored.values.empty() ? 0.0 : std::max(std::abs(*lowest), std::abs(*highest));
    Allowed allowed = allowed_of(tolerance, range, 0.0);
    if (tolerance.relative) allowed.why += " of its range";
    // A signal that hardly moves is rounded by its size, not by its range.
    allowed.width = std::max(allowed.width, 1e-6 * largest);
    std::size_t worst = 0;
    for (std::size_t i = 0; i < stored.values.size(); ++i) {
        const double here = std::abs(now.values[i] - stored.values[i]);
        const double there = std::abs(now.values[worst] - stored.values[worst]);
        if (here > there || std::isnan(here)) worst = i;
        if (std::isnan(here)) break;
    }
    CheckedValue out{.name = stored.name,
                     .units = stored.units,
                     .against = CheckedAgainst::baseline_signal,
                     .value = now.values[worst],
                     .low = stored.values[worst] - allowed.width,
                     .high = stored.values[worst] + allowed.width,
                     .expected = stored.values[worst],
                     .time = time[worst],
                     .margin = 1.0,
                     .kept = true,
                     .why = allowed.why};
    set_margin(out);
    return out;
}

bool same_times(const std::vector<double>& a, const std::vector<double>& b) {
    const auto near = [](double x, double y) { return std::abs(x - y) <= 1e-6; };
    return std::ranges::equal(a, b, near);
}

}  // namespace

void set_margin(CheckedValue& value) {
    const double half = 0.5 * (value.high - value.low);
    const double above = value.value - value.low;
    const double below = value.high - value.value;
    const double inside = std::min(above, below);
    value.kept = inside >= 0.0;  // false if it is not a number
    if (std::isnan(inside)) {
        value.margin = -infinite;
    } else if (value.against == CheckedAgainst::band && value.low == 0.0 && value.kept &&
               value.high > 0.0) {
        value.margin = below / value.high;
    } else if (half > 0.0) {
        value.margin = inside / half;
    } else {
        value.margin = value.kept ? 1.0 : -infinite;
    }
}

std::vector<CheckedValue> held_against_bands(std::span<const BandResult> bands) {
    std::vector<CheckedValue> out;
    for (const BandResult& band : bands) {
        CheckedValue one{.name = band.measure,
                         .units = band.units,
                         .against = CheckedAgainst::band,
                         .value = band.value,
                         .low = band.low,
                         .high = band.high,
                         .expected = 0.5 * (band.low + band.high),
                         .time = 0.0,
                         .margin = 0.0,
                         .kept = false,
                         .why = band.source};
        set_margin(one);
        if (std::isnan(band.value)) one.why = "the run has no such measure";
        out.push_back(std::move(one));
    }
    return out;
}

std::vector<CheckedValue> held_against_baseline(const Baseline& stored, const Baseline& now,
                                                const Tolerances& tolerances) {
    std::vector<CheckedValue> out;
    const MeasureKind kind = measure_kind(now.manoeuvre);
    for (const BaselineMeasure& measure : stored.measures) {
        const Tolerance tolerance =
            given_or(tolerances.measures, measure.name, built_in_tolerance(kind, measure.name));
        const BaselineMeasure* found = find_named(now.measures, measure.name);
        out.push_back(found != nullptr
                          ? held(measure, *found, tolerance)
                          : lacking(measure.name, measure.units, CheckedAgainst::baseline,
                                    measure.value, "the run has no such measure any more"));
    }
    const bool comparable = same_times(stored.time, now.time);
    for (const BaselineSignal& signal : stored.signals) {
        const BaselineSignal* found = find_named(now.signals, signal.name);
        if (found != nullptr && comparable) {
            out.push_back(held(
                signal, *found, stored.time,
                given_or(tolerances.signals, signal.name, built_in_signal_tolerance(signal.name))));
            continue;
        }
        out.push_back(lacking(
            signal.name, signal.units, CheckedAgainst::baseline_signal, nothing,
            found == nullptr
                ? "the run has no such signal any more"
                : "it is known at other times than in the baseline: the run has another length or "
                  "recording step"));
    }
    return out;
}

std::vector<std::string> differences_of_origin(const Baseline& stored, const Baseline& now) {
    std::vector<std::string> out;
    if (stored.program_version != now.program_version) {
        out.push_back(fmt::format("The baseline was made by version {}, this is {}.",
                                  stored.program_version, now.program_version));
    }
    const std::map<std::string, std::string> before(stored.inputs.begin(), stored.inputs.end());
    std::vector<std::string> changed;
    for (const auto& [file, digest] : now.inputs) {
        const auto found = before.find(file);
        if (found == before.end()) {
            changed.push_back(file + " (new)");
        } else if (found->second != digest) {
            changed.push_back(file);
        }
    }
    if (!changed.empty()) {
        out.push_back(
            fmt::format("Changed since the baseline was made: {}.", fmt::join(changed, ", ")));
    }
    std::vector<std::string> settings;
    for (const auto& change : now.changes) {
        if (std::ranges::find(stored.changes, change) == stored.changes.end()) {
            settings.push_back(fmt::format("{} = {}", change.first, change.second));
        }
    }
    if (!settings.empty()) {
        out.push_back(fmt::format("Changed values: {}.", fmt::join(settings, ", ")));
    }
    std::vector<std::string> fresh;
    for (const BaselineMeasure& measure : now.measures) {
        if (find_named(stored.measures, measure.name) == nullptr) fresh.push_back(measure.name);
    }
    if (!fresh.empty()) {
        out.push_back(fmt::format("Not in the baseline yet: {}.", fmt::join(fresh, ", ")));
    }
    return out;
}

}  // namespace damper
