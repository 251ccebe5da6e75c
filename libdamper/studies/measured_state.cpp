// SPDX-License-Identifier: MIT
#include "libdamper/studies/measured_state.hpp"

#include <variant>

namespace damper {

std::string key_of_state(const std::string& measure, const Scenario& scenario) {
    const bool idles = std::holds_alternative<Idle>(scenario.manoeuvre);
    if (measure == "consumers_torque") {
        const bool creeps = std::holds_alternative<Creep>(scenario.manoeuvre);
        return idles || creeps ? "manoeuvre.consumers" : "";
    }
    if (measure == "engine_idle_speed") return idles ? "manoeuvre.speed" : "engine.idle_speed";
    if (measure == "mass_as_driven") return "body.mass";
    if (measure == "lowest_speed_under_load") {
        const SpeedRun* run = speed_run_of(scenario.manoeuvre);
        if (run == nullptr) return "";
        return run->from.si() < run->to.si() ? "manoeuvre.from" : "manoeuvre.to";
    }
    return "";
}

}  // namespace damper
