// SPDX-License-Identifier: MIT
#pragma once

#include "tools/damper/command_line.hpp"

#include <string>
#include <vector>

namespace damper::command {

/// What the command can be asked to do.
struct Verb {
    std::string name;
    std::string summary;
    int (*act)(const Words& words);  ///< Returns the exit status; may throw.
};

/// The closed list of verbs, in the order in which help shows them.
[[nodiscard]] const std::vector<Verb>& verbs();

[[nodiscard]] int run(const Words& words);
[[nodiscard]] int show(const Words& words);
[[nodiscard]] int loop(const Words& words);
[[nodiscard]] int fit(const Words& words);
[[nodiscard]] int modes(const Words& words);
[[nodiscard]] int response(const Words& words);
[[nodiscard]] int orbit(const Words& words);
[[nodiscard]] int recording(const Words& words);
[[nodiscard]] int cover(const Words& words);
[[nodiscard]] int heat(const Words& words);
[[nodiscard]] int compare(const Words& words);
[[nodiscard]] int tune(const Words& words);
[[nodiscard]] int vary(const Words& words);
[[nodiscard]] int scatter(const Words& words);
[[nodiscard]] int gather(const Words& words);
[[nodiscard]] int check(const Words& words);
[[nodiscard]] int report(const Words& words);
[[nodiscard]] int export_signals(const Words& words);
[[nodiscard]] int bench(const Words& words);
[[nodiscard]] int diagnose(const Words& words);
[[nodiscard]] int match(const Words& words);

}  // namespace damper::command
