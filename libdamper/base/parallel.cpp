// SPDX-License-Identifier: MIT
#include "libdamper/base/parallel.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace damper {

std::size_t thread_count(std::size_t asked, std::size_t jobs) {
    const std::size_t there = std::max(1U, std::thread::hardware_concurrency());
    return std::clamp(asked == 0 ? there : asked, std::size_t{1}, std::max<std::size_t>(jobs, 1));
}

void in_parallel(std::size_t count, std::size_t threads,
                 const std::function<void(std::size_t, std::size_t)>& job,
                 const std::function<bool()>& stop) {
    std::atomic<std::size_t> next = 0;
    std::atomic<bool> broken = false;
    std::mutex guard;
    std::exception_ptr first;
    std::size_t first_job = count;
    const auto work = [&](std::size_t worker) {
        while (!broken && !(stop && stop())) {
            const std::size_t mine = next++;
            if (mine >= count) return;
            try {
                job(mine, worker);
            } catch (...) {
                const std::lock_guard lock(guard);
                broken = true;
                if (mine < first_job) {
                    first_job = mine;
                    first = std::current_exception();
                }
            }
        }
    };
    const std::size_t workers = thread_count(threads, count);
    {
        std::vector<std::jthread> others;
        others.reserve(workers - 1);
        for (std::size_t w = 1; w < workers; ++w) others.emplace_back(work, w);
        work(0);
    }
    if (first) std::rethrow_exception(first);
}

}  // namespace damper
