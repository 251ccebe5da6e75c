// SPDX-License-Identifier: MIT
#pragma once

#include <cstdio>
#include <exception>
#include <fmt/format.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

namespace damper::benchmarks {

/// Runs `work` in a process of its own; its largest memory [kB], or 0 if it failed. To be called
/// while the caller has one thread.
template <typename Work>
long in_own_process(Work&& work) {
    std::fflush(nullptr);
    const pid_t child = ::fork();
    if (child == 0) {
        try {
            work();
        } catch (const std::exception& error) {
            fmt::print(stderr, "{}\n", error.what());
            ::_exit(1);
        }
        std::fflush(nullptr);
        ::_exit(0);
    }
    int status = 0;
    rusage used{};
    if (child < 0 || ::wait4(child, &status, 0, &used) != child || status != 0) return 0;
    return used.ru_maxrss;
}

}  // namespace damper::benchmarks
