// SPDX-License-Identifier: MIT
#pragma once

#include <nlohmann/json.hpp>

namespace damper::bench {

/// What is asked of a scenario: its name, a cause (or none), changes as on the command line.
///     {"scenario": "car_idle_hot", "cause": "", "changes": [["disc", "car_three_stage"]]}
/// Throws InputError as the command does.

/// The disc as it then is: values of every stage, its bench loop, its description as TOML with
/// `remarks` (a list of texts) before it.
[[nodiscard]] nlohmann::ordered_json answer_disc(const nlohmann::ordered_json& asked);

/// The whole way once: under "run" what `damper run --format json` prints; under "shown" the
/// judgements and measures as a workshop reads them; under "curves" what the page draws.
[[nodiscard]] nlohmann::ordered_json answer_run(const nlohmann::ordered_json& asked);

}  // namespace damper::bench
