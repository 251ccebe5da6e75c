// SPDX-License-Identifier: MIT
#pragma once

#include <exception>
#include <string_view>

namespace damper::command {

/// What the command tells its caller. With several scenarios the highest number wins.
/// A signal n that ended the work gives 128 + n.
enum class ExitStatus : int {
    done = 0,          ///< Done: good or watch.
    limit_missed = 1,  ///< Done, a limit missed, or a band of a scenario.
    bad_input = 2,     ///< The command line or a description file must be mended.
    not_finished = 3,  ///< The computation could not be finished.
    file_system = 4,   ///< Full, read-only, no permission.
    busy = 5,          ///< Another run holds this output.
};

[[nodiscard]] constexpr int to_int(ExitStatus status) {
    return static_cast<int>(status);
}

/// Prints what went wrong to stderr, after "damper VERB: " unless the message begins with a place
/// in a file, and returns the status that belongs to the exception.
[[nodiscard]] int explain(const std::exception_ptr& error, std::string_view who);

}  // namespace damper::command
