// SPDX-License-Identifier: MIT
#include "libdamper/scenario/scenario.hpp"

namespace damper {

const TorqueChange* torque_change_of(const Manoeuvre& manoeuvre) {
    if (const auto* tip_in = std::get_if<TipIn>(&manoeuvre)) return tip_in;
    return std::get_if<BackOut>(&manoeuvre);
}

}  // namespace damper
