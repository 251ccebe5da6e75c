// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/facts.hpp"
#include "libdamper/measures/measured.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// A sentence on why a run came out as it did, and how much it tells: 3 and more a cause, 2 a
/// consequence, 1 a remark. Larger first.
struct Reason {
    double weight = 0.0;
    std::string sentence;
};

/// Value of a measure; nothing if the run has none of that name.
[[nodiscard]] std::optional<double> value_of(const Measured& measured, std::string_view name);

/// The good limit of a measure for the vehicle's class; `otherwise` if it has none.
[[nodiscard]] double limit_good(const RunFacts& facts, std::string_view measure, double otherwise);

/// Reasons of an idle run: uneven engine, open clutch, what the disc and the loose gears do.
[[nodiscard]] std::vector<Reason> idle_reasons(const RunFacts& facts, const Measured& measured);

/// Reasons of creeping: where on the disc's stages the driving torque lies, what the gears do.
[[nodiscard]] std::vector<Reason> creep_reasons(const RunFacts& facts, const Measured& measured);

/// Reasons after a change of torque: ringing, overshoot, lash and its play, stops.
[[nodiscard]] std::vector<Reason> torque_change_reasons(const RunFacts& facts,
                                                        const Measured& measured);

/// Reasons of a pull or overrun: resonance in the range, stops of the disc, teeth that part.
[[nodiscard]] std::vector<Reason> sweep_reasons(const RunFacts& facts, const Measured& measured);

/// Reasons of an engine start or stop: where the resonance is passed, contacts with the stops.
[[nodiscard]] std::vector<Reason> passage_reasons(const RunFacts& facts, const Measured& measured);

/// Reasons of a take-up: friction that falls with slip, uneven faces, heat, an engine that stalls.
[[nodiscard]] std::vector<Reason> take_up_reasons(const RunFacts& facts, const Measured& measured);

/// Of any manoeuvre: what a two-mass flywheel and the mounts of the power unit did; empty without.
[[nodiscard]] std::vector<Reason> flywheel_and_mount_reasons(const RunFacts& facts,
                                                             const Measured& measured);

/// The disc runs onto a stop, or comes close to it; nothing if neither.
[[nodiscard]] std::optional<Reason> stop_reason(const RunFacts& facts, const Measured& measured);

/// What the hands and ears that act on a verdict must mind, for a manoeuvre.
[[nodiscard]] std::vector<std::string> cautions_for(std::string_view manoeuvre);

}  // namespace damper
