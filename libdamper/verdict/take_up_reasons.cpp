// SPDX-License-Identifier: MIT
#include "libdamper/verdict/reasons.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper {

namespace {

constexpr double follows_turning = 0.5;  // share of the judder that turns with slip or shaft
constexpr double follows_anyhow = 0.65;  // the same where friction alone makes judder as well
constexpr double felt_otherwise = 0.15;  // m/s², where the limit is not told

double rpm_of(double hertz) {
    return 60.0 * hertz;
}

std::string growth_words(double growth) {
    return growth > 0.0
               ? fmt::format("grows to {} in a tenth of a second", as_ratio(std::exp(0.1 * growth)))
               : fmt::format("falls to {} in a tenth of a second",
                             as_percent(std::exp(0.1 * growth)));
}

std::optional<Reason> friction(const RunFacts& facts, const Measured& measured) {
    const double gradient = facts.clutch.friction_gradient;
    const std::optional<double> margin = value_of(measured, "judder_margin");
    const std::optional<double> growth = value_of(measured, "judder_mode_growth");
    const std::optional<double> frequency = value_of(measured, "judder_mode_frequency");
    if (!margin || !growth || !frequency) return std::nullopt;
    const double good = limit_good(facts, "friction_gradient", -0.002);
    if (gradient < 0.0 && *margin < 0.3) {
        return Reason{
            *margin < 0.0 ? 5.0 : 3.5,
            fmt::format(
                "Friction judder: the friction of the facings falls with slip speed, by {} s/m "
                "(good: no worse than {} s/m), and takes {} the damping that the slipping "
                "driveline has. Its mode at {} Hz {}. Its frequency does not follow the slip: look "
                "for glazed or oily facings, not for run-out.",
                as_number(gradient), as_number(good), *margin < 0.0 ? "more than" : "most of",
                as_number(*frequency), growth_words(*growth))};
    }
    return Reason{1.0,
                  fmt::format("While the clutch slips, the driveline swings at {} Hz by itself; "
                              "a swing there {}.",
                              as_number(*frequency), growth_words(*growth))};
}

/// A swing that turns with the slip or with the input shaft, whichever has more of it.
std::optional<Reason> geometry(const RunFacts& facts, const Measured& measured) {
    const double with_slip = value_of(measured, "slip_order_share").value_or(0.0);
    const double with_shaft = value_of(measured, "shaft_order_share").value_or(0.0);
    const bool of_shaft = with_shaft > with_slip;
    const double share = std::max(with_slip, with_shaft);
    const std::optional<double> order =
        value_of(measured, of_shaft ? "shaft_order_acceleration" : "slip_order_acceleration");
    const bool friction_too = value_of(measured, "judder_margin").value_or(1.0) < 0.0;
    if (!order || share < (friction_too ? follows_anyhow : follows_turning)) return std::nullopt;
    if (*order < limit_good(facts, "judder_acceleration", felt_otherwise)) return std::nullopt;
    const std::string own = as_number(value_of(measured, "judder_mode_frequency").value_or(0.0));
    if (of_shaft) {
        return Reason{
            4.5, fmt::format("Geometric judder: it turns with the gearbox input shaft, once per "
                             "revolution ({} of the swing, up to {} m/s²); the slipping "
                             "driveline's own frequency is {} Hz. The clamp load swings: look for "
                             "a gearbox out of line with the engine, dowels, a bent input shaft, "
                             "not for the friction material.",
                             as_percent(share), as_number(*order), own)};
    }
    const double at = value_of(measured, "slip_order_frequency").value_or(0.0);
    return Reason{
        4.5, fmt::format(
                 "Geometric judder: it turns with the slip, once per revolution ({} of the "
                 "swing), and is strongest with {} m/s² at {} rpm of slip, that is {} Hz; the "
                 "slipping driveline's own frequency is {} Hz. The clamp load swings: look "
                 "for run-out of the disc, an uneven plate or flywheel, not for the "
                 "friction material.",
                 as_percent(share), as_number(*order), as_number(rpm_of(at)), as_number(at), own)};
}

std::optional<Reason> unevenness(const RunFacts& facts) {
    const ClutchFacts& clutch = facts.clutch;
    const double most = std::max({clutch.uneven_slip, clutch.uneven_shaft, clutch.uneven_engine});
    if (!(most > 0.0)) return std::nullopt;
    const char* turn = most == clutch.uneven_slip    ? "turn of slip"
                       : most == clutch.uneven_shaft ? "turn of the input shaft"
                                                     : "turn of the engine";
    return Reason{2.0,
                  fmt::format("The clamp load swings by {} once per {}.", as_percent(most), turn)};
}

std::optional<Reason> catches(const Measured& measured) {
    const double caught = value_of(measured, "caught_and_let_go").value_or(0.0);
    constexpr double at_the_end = 10.0;  // as many as firings make when the slip ends
    if (!(caught > at_the_end)) return std::nullopt;
    return Reason{3.0, fmt::format("The faces stick and slip in turns: they are caught and let go "
                                   "{} before they hold.",
                                   as_times(caught))};
}

std::optional<Reason> slips_long(const RunFacts& facts, const Measured& measured) {
    const std::optional<double> time = value_of(measured, "slip_time");
    const std::optional<double> sticks = value_of(measured, "clutch_sticks");
    if (!time || !sticks) return std::nullopt;
    const std::string capacity =
        fmt::format("It holds {} at its full clamp load of {} N; the engine's peak torque is {}.",
                    as_torque(facts.clutch.capacity), as_number(facts.clutch.full_clamp),
                    as_torque(facts.engine_peak_torque));
    if (*sticks < 0.5) {
        return Reason{4.5, "The clutch still slips at the end of the run. " + capacity};
    }
    if (*time <= limit_good(facts, "slip_time", 2.0)) return std::nullopt;
    return Reason{3.0, fmt::format("The clutch slips for {} s. {}", as_number(*time), capacity)};
}

std::optional<Reason> heat(const RunFacts& facts, const Measured& measured) {
    const std::optional<double> energy = value_of(measured, "slip_energy");
    const std::optional<double> power = value_of(measured, "slip_power_peak");
    const std::optional<double> face = value_of(measured, "face_temperature");
    if (!energy || !power) return std::nullopt;
    std::string text = fmt::format("The slip makes {} kJ of heat, at most {} kW at once",
                                   as_number(1e-3 * *energy), as_number(1e-3 * *power));
    double weight = 1.0;
    if (face) {
        text += fmt::format("; a face that begins at {} comes to about {} (estimate)",
                            as_celsius(facts.clutch.face_temperature), as_celsius(*face));
        if (*face > limit_good(facts, "face_temperature", 523.15)) weight = 4.0;
    }
    return Reason{weight, text + "."};
}

std::optional<Reason> stalls(const RunFacts& facts, const Measured& measured) {
    const std::optional<double> dip = value_of(measured, "engine_dip");
    if (!dip || *dip >= limit_good(facts, "engine_dip", 0.8)) return std::nullopt;
    return Reason{4.8,
                  fmt::format("The engine is pulled down to {} of its idle speed: it stalls, or "
                              "is about to. The clutch closes faster than the engine's torque "
                              "allows, or the gear is too high for the slope.",
                              as_percent(*dip))};
}

}  // namespace

std::vector<Reason> take_up_reasons(const RunFacts& facts, const Measured& measured) {
    std::vector<Reason> reasons;
    for (const auto& reason :
         {friction(facts, measured), geometry(facts, measured), unevenness(facts),
          catches(measured), slips_long(facts, measured), heat(facts, measured),
          stalls(facts, measured), stop_reason(facts, measured)}) {
        if (reason) reasons.push_back(*reason);
    }
    return reasons;
}

}  // namespace damper
