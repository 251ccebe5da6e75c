// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/results/result_file.hpp"

#include "tests/results/rich_record.hpp"
#include "tests/support/child.hpp"

#include <doctest/doctest.h>
#include <random>
#include <span>
#include <string>
#include <sys/resource.h>
#include <unistd.h>
#include <vector>

using namespace damper;
using namespace damper::testing;

namespace {

using Bytes = std::vector<std::byte>;

constexpr int was_read = 0;
constexpr int was_refused = 2;

/// Reads in a process of its own with limits on time and memory, so that a crash or a loop in
/// there is seen here as another exit status.
int outcome(const Bytes& bytes) {
    return in_child([&] {
        const rlimit time{5, 5};  // s of processor
        ::setrlimit(RLIMIT_CPU, &time);
        const rlimit no_core{0, 0};
        ::setrlimit(RLIMIT_CORE, &no_core);
        for (const int signal : {SIGSEGV, SIGABRT, SIGBUS, SIGFPE}) ::signal(signal, SIG_DFL);
        try {
            (void)parse_result(bytes, "mutant");
            return was_read;
        } catch (const InputError&) {
            return was_refused;
        }
    });
}

/// Changes one to eight bytes, each to something else.
Bytes mutated(Bytes bytes, std::mt19937& random) {
    std::uniform_int_distribution<std::size_t> place(0, bytes.size() - 1);
    std::uniform_int_distribution<int> other(1, 255);
    const int count = std::uniform_int_distribution<int>(1, 8)(random);
    for (int i = 0; i < count; ++i) bytes[place(random)] ^= static_cast<std::byte>(other(random));
    return bytes;
}

std::string refusal(const Bytes& bytes) {
    try {
        (void)parse_result(bytes, "runs/idle.h5");
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

}  // namespace

TEST_CASE("a file cut off anywhere is refused") {
    const Bytes whole = result_bytes(rich_record(20));
    REQUIRE(outcome(whole) == was_read);
    std::mt19937 random(1);  // any seed
    std::uniform_int_distribution<std::size_t> place(0, whole.size() - 1);
    std::vector<std::size_t> lengths{0, 1, 7, 8, 9, 512, whole.size() - 1, whole.size() - 80};
    for (int i = 0; i < 60; ++i) lengths.push_back(place(random));
    for (const std::size_t length : lengths) {
        CAPTURE(length);
        CHECK(outcome(Bytes(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(length))) ==
              was_refused);
    }
}

TEST_CASE("a file with any bytes changed is refused, and never read as something else") {
    const Bytes whole = result_bytes(rich_record(20));
    std::mt19937 random(2);  // any seed
    for (int i = 0; i < 400; ++i) {
        CAPTURE(i);
        const Bytes mutant = mutated(whole, random);
        if (mutant == whole) continue;  // the same byte was changed there and back
        REQUIRE(outcome(mutant) == was_refused);
    }
}

TEST_CASE("bytes behind the seal are refused") {
    Bytes whole = result_bytes(rich_record(20));
    whole.push_back(std::byte{'\n'});
    CHECK(outcome(whole) == was_refused);
}

TEST_CASE("what is no result is told apart from a damaged one, in plain words") {
    const std::string text = "title = \"a scenario\"\n";
    const auto bytes = std::as_bytes(std::span(text.data(), text.size()));
    CHECK(refusal(Bytes(bytes.begin(), bytes.end())) ==
          "runs/idle.h5: is not an HDF5 file, so it is no result");
    Bytes damaged = result_bytes(rich_record(20));
    damaged[damaged.size() / 2] ^= std::byte{1};
    CHECK(refusal(damaged).starts_with("runs/idle.h5: is not as damper wrote it: damaged"));
    CHECK_THROWS_AS((void)read_result("/nowhere/idle.h5"), InputError);
}
