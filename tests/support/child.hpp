// SPDX-License-Identifier: MIT
#pragma once

#include <cstdio>
#include <functional>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

namespace damper::testing {

/// Runs `work` in a child process and returns its id. The child ends with the number that `work`
/// returns, or with 99 if an exception comes out; it runs no destructors of the parent's objects.
inline pid_t start_child(const std::function<int()>& work) {
    std::fflush(nullptr);
    const pid_t child = ::fork();
    if (child == 0) {
        int status = 99;
        try {
            status = work();
        } catch (...) {
        }
        ::_exit(status);
    }
    return child;
}

/// Waits for a child. Its exit status, or 128 + signal as a shell reports it.
inline int wait_for(pid_t child) {
    int status = 0;
    if (::waitpid(child, &status, 0) != child) return -1;
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

inline int in_child(const std::function<int()>& work) {
    return wait_for(start_child(work));
}

}  // namespace damper::testing
