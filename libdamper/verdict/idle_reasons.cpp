// SPDX-License-Identifier: MIT
#include "libdamper/verdict/idle_disc_reasons.hpp"
#include "libdamper/verdict/limits.hpp"
#include "libdamper/verdict/loose_gear_reasons.hpp"
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <fmt/format.h>
#include <iterator>
#include <numbers>

namespace damper {
namespace {

std::optional<Reason> uneven_engine(const RunFacts& facts, const Measured& measured) {
    constexpr double half_degree = 0.5 * std::numbers::pi / 180.0;
    const double angle = value_of(measured, "half_order_angle").value_or(0.0);
    if (!(angle > limit_good(facts, "half_order_angle", half_degree))) return std::nullopt;
    return Reason{5.0, fmt::format("The engine runs unevenly: order ½ swings the flywheel by ±{}; "
                                   "no disc option cures that.",
                                   as_degrees(angle))};
}

}  // namespace

std::optional<double> value_of(const Measured& measured, std::string_view name) {
    for (const MeasureValue& one : measured.measures) {
        if (one.name == name) return one.value;
    }
    return std::nullopt;
}

double limit_good(const RunFacts& facts, std::string_view measure, double otherwise) {
    const std::optional<Limit> limit = find_limit(measure, facts.vehicle_class);
    return limit ? limit->good : otherwise;
}

std::vector<Reason> idle_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    if (const auto uneven = uneven_engine(facts, measured)) reasons.push_back(*uneven);
    if (!facts.clutch_closed) {
        reasons.push_back(open_clutch(facts, measured));
        return reasons;
    }
    for (auto found : {idle_disc_reasons(facts, measured), loose_gear_reasons(facts, measured)}) {
        std::move(found.begin(), found.end(), std::back_inserter(reasons));
    }
    return reasons;
}

}  // namespace damper
