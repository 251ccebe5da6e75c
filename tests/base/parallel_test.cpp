// SPDX-License-Identifier: MIT
#include "libdamper/base/parallel.hpp"

#include <atomic>
#include <doctest/doctest.h>
#include <stdexcept>
#include <string>
#include <vector>

using namespace damper;

TEST_CASE("every job is done once, whatever the number of threads") {
    for (const std::size_t threads : {0U, 1U, 2U, 7U, 64U}) {
        CAPTURE(threads);
        std::vector<std::atomic<int>> done(1000);
        std::atomic<bool> outside = false;
        const std::size_t workers = thread_count(threads, done.size());
        in_parallel(done.size(), threads, [&](std::size_t job, std::size_t worker) {
            ++done[job];
            if (worker >= workers) outside = true;
        });
        for (const auto& one : done) CHECK(one == 1);
        CHECK_FALSE(outside);
    }
    in_parallel(0, 2, [](std::size_t, std::size_t) { FAIL("there is no job"); });
}

TEST_CASE("what the lowest job throws reaches the caller") {
    for (const std::size_t threads : {1U, 2U, 4U}) {
        try {
            in_parallel(100, threads, [](std::size_t job, std::size_t) {
                if (job >= 3) throw std::runtime_error(std::to_string(job));
            });
            FAIL("nothing was thrown");
        } catch (const std::runtime_error& error) {
            CHECK(std::stoi(error.what()) >= 3);
            if (threads == 1) CHECK(std::string(error.what()) == "3");
        }
    }
}

TEST_CASE("a stop leaves out what has not begun") {
    std::atomic<int> done = 0;
    in_parallel(
        1000, 2, [&](std::size_t, std::size_t) { ++done; }, [&] { return done >= 10; });
    CHECK(done >= 10);
    CHECK(done <= 12);
}

TEST_CASE("there are no more threads than jobs, and at least one") {
    CHECK(thread_count(8, 3) == 3);
    CHECK(thread_count(2, 100) == 2);
    CHECK(thread_count(0, 1) == 1);
    CHECK(thread_count(5, 0) == 1);
}
