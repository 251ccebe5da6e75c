// SPDX-License-Identifier: MIT
#include "libdamper/studies/window_sink.hpp"

namespace damper {

void WindowSink::sample(const Instant& instant) {
    if (instant.time > end_ + slack_) return;
    inner_.sample(instant);
    if (sampler_.came_to_rest()) return;
    const bool whole = certainty_.sample(instant.time, sampler_.sample().crank_angle);
    if (!whole || !(share_ > 0.0)) return;
    known_ = certainty_.known(share_);
    if (known_ == RattleCertainty::Known::not_yet) return;
    end_ = instant.time;
    slack_ = 0.0;
}

void WindowSink::impact(const Impact& impact) {
    if (!(impact.time < end_)) return;
    inner_.impact(impact);
    if (!sampler_.came_to_rest()) certainty_.impact(impact);
}

}  // namespace damper
