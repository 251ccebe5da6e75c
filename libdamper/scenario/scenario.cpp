// SPDX-License-Identifier: MIT
#include "libdamper/scenario/scenario.hpp"

namespace damper {

const TorqueChange* torque_change_of(const Manoeuvre& manoeuvre) {
    if (const auto* tip_in = std::get_if<TipIn>(&manoeuvre)) return tip_in;
    return std::get_if<BackOut>(&manoeuvre);
}

const SpeedRun* speed_run_of(const Manoeuvre& manoeuvre) {
    if (const auto* pull = std::get_if<Pull>(&manoeuvre)) return pull;
    return std::get_if<Overrun>(&manoeuvre);
}

std::string gear_of(const Manoeuvre& manoeuvre) {
    return std::visit(
        [](const auto& m) -> std::string {
            if constexpr (requires { m.gear; }) return m.gear;
            return "";
        },
        manoeuvre);
}

Time length_of(const Manoeuvre& manoeuvre) {
    return std::visit([](const auto& m) { return m.length; }, manoeuvre);
}

}  // namespace damper
