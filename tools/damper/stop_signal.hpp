// SPDX-License-Identifier: MIT
#pragma once

namespace damper::command {

/// From here on the first SIGINT, SIGTERM or SIGHUP is only noted, so that the work can be closed
/// in order; the second ends the program at once with status 128 + n.
void watch_stop_signals();

/// The signal noted so far, 0 if none.
[[nodiscard]] int stop_signal();

}  // namespace damper::command
