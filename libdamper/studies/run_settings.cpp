// SPDX-License-Identifier: MIT
#include "libdamper/studies/run_settings.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/scenario/check.hpp"

#include <fmt/format.h>
#include <variant>

namespace damper {

void check_settings(const Scenario& scenario, const RunSettings& settings) {
    constexpr double finest = 0.001;
    constexpr double coarsest = 0.5;
    constexpr double shortest = 1.0;   // s
    constexpr double longest = 600.0;  // s; what is stored of it still fits a result file
    const bool periodic = settings.start == "periodic";
    if (!periodic && settings.start != "steady") {
        throw InputError(
            fmt::format("unknown start \"{}\"; known are steady and periodic", settings.start));
    }
    if (settings.certain != 0.0 && !(settings.certain >= finest && settings.certain <= coarsest)) {
        throw InputError(
            fmt::format("rates cannot be asked for to ±{:.4g} %; expected {} % to {} %",
                        100.0 * settings.certain, 100.0 * finest, 100.0 * coarsest));
    }
    if (settings.certain != 0.0 && !(settings.longest >= shortest && settings.longest <= longest)) {
        throw InputError(
            fmt::format("the longest time to measure cannot be {:.4g} s; expected "
                        "{} s to {} s",
                        settings.longest, shortest, longest));
    }
    if (std::holds_alternative<Idle>(scenario.manoeuvre)) return;
    const std::string what = torque_change_of(scenario.manoeuvre) != nullptr
                                 ? "a change of torque"
                                 : "the manoeuvre \"" + kind_of(scenario.manoeuvre) + "\"";
    if (periodic) {
        throw InputError(fmt::format(
            "{}: {} does not repeat itself, so it has no periodic start; only idle has. To mend: "
            "leave the start steady",
            scenario.name, what));
    }
    if (settings.certain != 0.0) {
        throw InputError(fmt::format(
            "{}: {} has no rates of tooth impacts to be certain of; only idle has. To mend: leave "
            "the length to the scenario",
            scenario.name, what));
    }
}

}  // namespace damper
