// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/run_record.hpp"

#include <string>
#include <string_view>

namespace damper {

/// What every page has in common. A page is page_head + "<body><main>" + page_banner + sections +
/// page_end; it needs no other file and no network.

/// Everything before the body. `title` is plain text.
[[nodiscard]] std::string page_head(std::string_view title);
/// Heading, changes of the command line and what the page is about.
[[nodiscard]] std::string page_banner(const RunIdentity& identity);
[[nodiscard]] std::string scripts_off_notice();
/// Closes the sections, with the notice that all is an estimate, and brings the scripts.
[[nodiscard]] std::string page_end();

}  // namespace damper
