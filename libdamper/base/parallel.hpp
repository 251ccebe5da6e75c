// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <functional>

namespace damper {

/// As many threads as asked for, at most one a job; 0: as many as the processor runs at once.
[[nodiscard]] std::size_t thread_count(std::size_t asked, std::size_t jobs);

/// Does the jobs 0 … count − 1 on some threads and returns when all are done. Each job is done
/// once; which thread does it is open, so a job must write to a place of its own and must not
/// depend on the others. `worker` is 0 … threads − 1: workspaces are kept by it.
///
/// A job may be left out if `stop` returns true before it begins (it is asked on every thread).
/// What a job throws ends the rest as well; that of the lowest job is thrown to the caller.
void in_parallel(std::size_t count, std::size_t threads,
                 const std::function<void(std::size_t job, std::size_t worker)>& job,
                 const std::function<bool()>& stop = {});

}  // namespace damper
