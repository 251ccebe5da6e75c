// SPDX-License-Identifier: MIT
#pragma once

namespace damper::command {

/// Puts something in the place of standard streams that are closed, so that no file opened later
/// takes their number and receives what was meant for the terminal.
void keep_standard_streams();

/// From here on the first SIGINT, SIGTERM or SIGHUP is only noted, so that the work can be closed
/// in order; the second ends the program at once with status 128 + n.
void watch_stop_signals();

/// The signal noted so far, 0 if none.
[[nodiscard]] int stop_signal();

}  // namespace damper::command
