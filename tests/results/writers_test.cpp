// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/result_file.hpp"

#include "tests/results/rich_record.hpp"
#include "tests/support/child.hpp"
#include "tests/support/scratch_folder.hpp"
#include "tests/support/small_disk.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <doctest/doctest.h>
#include <random>
#include <signal.h>
#include <string>
#include <thread>
#include <unistd.h>
#include <vector>

using namespace damper;
using namespace damper::testing;

namespace {

/// A record whose every signal value is `mark`, so that a mixture of two would show.
RunRecord marked(int mark, std::size_t samples) {
    RunRecord record = rich_record(samples);
    record.identity.title = std::to_string(mark);
    for (Signal& signal : record.signals.signals) {
        std::fill(signal.values.begin(), signal.values.end(), static_cast<double>(mark));
    }
    return record;
}

bool is_whole(const RunRecord& record) {
    const double mark = std::stod(record.identity.title);
    return std::all_of(record.signals.signals.begin(), record.signals.signals.end(),
                       [&](const Signal& signal) {
                           return std::all_of(signal.values.begin(), signal.values.end(),
                                              [&](double value) { return value == mark; });
                       });
}

}  // namespace

TEST_CASE("runs at another time on another host differ in /provenance alone") {
    RunRecord first = rich_record();
    RunRecord second = rich_record();
    first.identity.created = "2024-06-11T12:00:00Z";
    second.identity.created = "1111-00-00T00:11:11X";  // another digit in 14 places
    first.identity.host = "aaaaaa";
    second.identity.host = "bbbbbb";
    const std::vector<std::byte> a = result_bytes(first);
    const std::vector<std::byte> b = result_bytes(second);
    REQUIRE(a.size() == b.size());
    const std::size_t seal = 80;  // bytes at the end; a digest of all the rest
    std::size_t created = 0;
    for (std::size_t i = 0; i < first.identity.created.size(); ++i) {
        if (first.identity.created[i] != second.identity.created[i]) ++created;
    }
    std::size_t differing = 0;
    for (std::size_t i = 0; i + seal < a.size(); ++i) {
        if (a[i] != b[i]) ++differing;
    }
    // Each stands in the file once; so nothing but these two depends on time and host.
    CHECK(differing == created + first.identity.host.size());
}

TEST_CASE("a full disk leaves the earlier result, and a message that names file and reason") {
    const ScratchFolder folder;
    const SmallDisk disk(folder.path(), "size=512k");
    if (!disk.mounted()) {
        MESSAGE("skipped: mounting a small file system needs root");
        return;
    }
    const auto path = folder / "idle.h5";
    write_result(path, marked(1, 20));
    RunRecord large = marked(2, 20'001);
    for (std::size_t i = 0; i < 20'001; ++i) {  // hard to pack
        large.signals.signals[0].values[i] = std::sin(1e6 * static_cast<double>(i * i));
        large.signals.signals[1].values[i] = std::cos(1e6 * static_cast<double>(i * i));
    }
    std::string message;
    try {
        write_result(path, large);
    } catch (const FileError& error) {
        message = error.what();
    }
    CHECK(message == path.string() + ": cannot be written: the disk is full");
    CHECK(read_result(path).identity.title == "1");
    CHECK(folder.names() == std::vector<std::string>{"idle.h5"});
}

TEST_CASE("of two processes that write one result, each wins or is told that it is busy") {
    const ScratchFolder folder;
    const auto path = folder / "idle.h5";
    write_result(path, marked(0, 50));
    std::vector<pid_t> children;
    for (int mark = 1; mark <= 2; ++mark) {
        children.push_back(start_child([&path, mark] {
            const std::vector<std::byte> bytes = result_bytes(marked(mark, 50));
            for (int round = 0; round < 200; ++round) {
                try {
                    write_file_atomically(path, bytes);
                } catch (const BusyError&) {
                }
            }
            return 0;
        }));
    }
    // A reader meanwhile sees whole results only.
    for (int i = 0; i < 20; ++i) REQUIRE(is_whole(read_result(path)));
    for (const pid_t child : children) CHECK(wait_for(child) == 0);
    CHECK(is_whole(read_result(path)));
    CHECK(folder.names() == std::vector<std::string>{"idle.h5"});
}

TEST_CASE("a writer killed at any moment leaves a result that opens and verifies") {
    const ScratchFolder folder;
    const auto path = folder / "idle.h5";
    write_result(path, marked(0, 2000));
    std::mt19937 random(4);  // any seed
    std::uniform_int_distribution<int> pause(0, 60'000);
    for (int kill = 0; kill < 50; ++kill) {
        CAPTURE(kill);
        const pid_t child = start_child([&] {
            for (int mark = 1;; ++mark) write_result(path, marked(mark, 2000));
            return 0;
        });
        std::this_thread::sleep_for(std::chrono::microseconds(pause(random)));
        ::kill(child, SIGKILL);
        REQUIRE(wait_for(child) == 128 + SIGKILL);
        REQUIRE(is_whole(read_result(path)));
    }
    write_result(path, marked(7, 20));
    CHECK(read_result(path).identity.title == "7");
    CHECK(folder.names() == std::vector<std::string>{"idle.h5"});
}
