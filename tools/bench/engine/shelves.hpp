// SPDX-License-Identifier: MIT
#pragma once

#include <nlohmann/json.hpp>

namespace damper::bench {

/// What the page was given, by kind: "vehicles", "discs", "causes" and "scenarios", each a list of
/// {name, title} with `class` of vehicles, `complaint` and `seat` of causes, `vehicle` and `kind`
/// of scenarios. Under "complaints" what a complaint may be and what is asked of it, as the folder
/// models/complaints has it. What cannot be read is left out.
[[nodiscard]] nlohmann::ordered_json shelves();

}  // namespace damper::bench
