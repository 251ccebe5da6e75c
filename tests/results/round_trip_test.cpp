// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/results/result_file.hpp"

#include "tests/results/record_text.hpp"
#include "tests/results/rich_record.hpp"
#include "tests/support/child.hpp"
#include "tests/support/scratch_folder.hpp"

#include <chrono>
#include <doctest/doctest.h>
#include <limits>
#include <string>
#include <thread>

using namespace damper;
using namespace damper::testing;

namespace {

RunRecord there_and_back(const RunRecord& record) {
    return parse_result(result_bytes(record), "memory");
}

std::string flaw_on_writing(const RunRecord& record) {
    try {
        (void)result_bytes(record);
    } catch (const ModelError& error) {
        return error.what();
    }
    return {};
}

}  // namespace

TEST_CASE("every field of a record comes back from a file as it was, to the last bit") {
    const ScratchFolder folder;
    const RunRecord record = rich_record();
    write_result(folder / "rich.h5", record);
    CHECK(text_of(read_result(folder / "rich.h5")) == text_of(record));
    CHECK(folder.names() == std::vector<std::string>{"rich.h5"});
}

TEST_CASE("an empty record and one of a single sample come back") {
    CHECK(text_of(there_and_back(RunRecord{})) == text_of(RunRecord{}));
    const RunRecord single = rich_record(1);
    CHECK(text_of(there_and_back(single)) == text_of(single));
}

TEST_CASE("a long run comes back and takes less room than its numbers") {
    RunRecord record = rich_record(20'001);
    const std::vector<std::byte> bytes = result_bytes(record);
    CHECK(bytes.size() < 20'001 * 4 * sizeof(double));
    CHECK(text_of(parse_result(bytes, "memory")) == text_of(record));
}

TEST_CASE("the largest and smallest numbers come back") {
    RunRecord record = rich_record(4);
    using Limits = std::numeric_limits<double>;
    record.signals.signals[0].values = {Limits::max(), Limits::denorm_min(), -0.0,
                                        Limits::quiet_NaN()};
    record.solver.steps = std::numeric_limits<std::int64_t>::max();
    CHECK(text_of(there_and_back(record)) == text_of(record));
}

TEST_CASE("equal records give equal bytes") {
    const std::vector<std::byte> first = result_bytes(rich_record());
    // Something else in between, so that memory is not in the state of the first time.
    const std::vector<std::byte> other = result_bytes(rich_record(3000));
    CHECK(result_bytes(rich_record()) == first);
    CHECK(other != first);
    // In another process and another second, so that no clock and no address is in there.
    const ScratchFolder folder;
    std::this_thread::sleep_for(std::chrono::milliseconds(1100));
    CHECK(in_child([&] {
              write_result(folder / "later.h5", rich_record());
              return 0;
          }) == 0);
    CHECK(read_file(folder / "later.h5", 10'000'000) == first);
}

TEST_CASE("a record that was read gives the bytes that it was read from") {
    const std::vector<std::byte> bytes = result_bytes(rich_record());
    CHECK(result_bytes(parse_result(bytes, "memory")) == bytes);
}

TEST_CASE("a record that does not hang together is not written") {
    const auto broken = [](auto change) {
        RunRecord record = rich_record();
        change(record);
        return flaw_on_writing(record);
    };
    CHECK(broken([](RunRecord&) {}).empty());
    CHECK(broken([](RunRecord& r) { r.signals.signals[1].values.pop_back(); }) ==
          "signal \"disc_twist\" has 499 values at 500 times");
    CHECK(broken([](RunRecord& r) { r.signals.signals[1].name = "time"; }) ==
          "there are two signals \"time\"");
    CHECK(broken([](RunRecord& r) { r.measures[0].name = "a/b"; }) ==
          "\"a/b\" cannot be the name of a measure");
    CHECK(broken([](RunRecord& r) { r.measures[0].name = r.measures[1].name; }) ==
          "there are two measures \"impact_energy_rate\"");
    CHECK_FALSE(broken([](RunRecord& r) { r.spectra[0].signal = ""; }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.spectra[0].order.push_back(9.0); }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.disc_loop.upward.pop_back(); }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.events.impacts[3].element = 2; }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.events.changes[3].to = -1; }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.model.elements[0].row[0].first = 3; }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.model.inputs[0].inertia = -1; }).empty());
    CHECK_FALSE(broken([](RunRecord& r) {
                    r.model.elements[0].parts[1].modes[0].guards[0].next = 7;
                }).empty());
    CHECK_FALSE(broken([](RunRecord& r) { r.identity.title = std::string("a\0b", 3); }).empty());
}
