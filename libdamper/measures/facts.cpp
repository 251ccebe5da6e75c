// SPDX-License-Identifier: MIT
#include "libdamper/measures/facts.hpp"

#include "libdamper/base/error.hpp"

namespace damper {

MeasureKind measure_kind(const std::string& manoeuvre) {
    if (manoeuvre == "idle" || manoeuvre == "creep" || manoeuvre == "recorded speed")
        return MeasureKind::steady;
    if (manoeuvre == "tip in" || manoeuvre == "back out") return MeasureKind::change;
    if (manoeuvre == "pull" || manoeuvre == "overrun") return MeasureKind::sweep;
    if (manoeuvre == "engine start" || manoeuvre == "engine stop") return MeasureKind::passage;
    if (manoeuvre == "take up") return MeasureKind::take_up;
    throw ModelError("there are no measures for the manoeuvre \"" + manoeuvre + "\"");
}

bool idles(const RunFacts& facts) {
    return facts.manoeuvre == "idle" || (facts.manoeuvre == "recorded speed" && !facts.driving);
}

bool rolls(const RunFacts& facts) {
    return facts.manoeuvre == "creep" || (facts.manoeuvre == "recorded speed" && facts.driving);
}

}  // namespace damper
