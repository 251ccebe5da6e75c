// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace damper::command {

/// Whether this program was built with the page's engine (emscripten was there).
[[nodiscard]] bool has_bench_page();

/// The bench page: one HTML file that calculates by itself. `files` are the descriptions it works
/// with, name ("models/discs/x.toml", "scenarios/y.toml") and text (UTF-8; bytes that are no text
/// are replaced). Throws ModelError without has_bench_page().
[[nodiscard]] std::string bench_page(const std::vector<std::pair<std::string, std::string>>& files);

}  // namespace damper::command
