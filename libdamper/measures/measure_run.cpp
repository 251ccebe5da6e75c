// SPDX-License-Identifier: MIT
#include "libdamper/measures/measure_run.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/measures/clunk.hpp"
#include "libdamper/measures/comfort.hpp"
#include "libdamper/measures/disc_twist.hpp"
#include "libdamper/measures/isolation.hpp"
#include "libdamper/measures/rattle.hpp"
#include "libdamper/measures/response.hpp"
#include "libdamper/measures/run_view.hpp"
#include "libdamper/measures/speed_fluctuation.hpp"

namespace damper {

Measured measure_run(const RunFacts& facts, const SignalSet& signals, const EventTable& events) {
    const RunView run{facts, signals, events};
    Measured measured;
    if (facts.manoeuvre == "idle") {
        measure_speed_fluctuation(run, measured);
        measure_isolation(run, measured);
        measure_disc_twist(run, measured);
        measure_rattle(run, measured);
    } else if (facts.manoeuvre == "tip in" || facts.manoeuvre == "back out") {
        measure_shuffle(run, measured);
        measure_comfort(run, measured);
        measure_clunk(run, measured);
        measure_disc_twist(run, measured);
    } else {
        throw ModelError("there are no measures for the manoeuvre \"" + facts.manoeuvre + "\"");
    }
    return measured;
}

}  // namespace damper
