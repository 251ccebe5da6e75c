// SPDX-License-Identifier: MIT
#include "libdamper/results/study_shard.hpp"

#include "libdamper/base/error.hpp"

#include "tests/support/scratch_folder.hpp"

#include <cmath>
#include <cstring>
#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <limits>
#include <string>
#include <vector>

using namespace damper;
namespace fs = std::filesystem;

namespace {

StudyHead some_head() {
    StudyHead head;
    head.identity.scenario = "invented";
    head.identity.inputs = {{"models/a.toml", "00ff"}};
    head.verb = "vary";
    head.design = "sobol";
    head.nominal = "good";
    head.solver = "auto";
    head.asked = head.total = 40;
    head.seed = 3;
    head.keys = {{"disc.damping", "times 0.5..2", "1", true, {}, {}}};
    StudyMeasure one;
    one.name = "transfer";
    one.units = "1";
    one.nominal = std::numeric_limits<double>::quiet_NaN();
    head.measures = {one, one};
    head.measures[1].name = "impact_rate";
    seal_head(head);
    return head;
}

VariantResult result_of(std::uint64_t variant) {
    VariantResult out;
    out.variant = variant;
    out.values = {0.1 * static_cast<double>(variant) + 1.0 / 3.0};
    if (variant % 5 == 4) {
        out.ended = VariantResult::Ended::refused;
        out.why = "stages overlap";
        return out;
    }
    out.measures = {{0, std::sqrt(static_cast<double>(variant))}, {1, -0.0}};
    out.grades = {{0, 2}};
    return out;
}

std::vector<VariantResult> all_of(const fs::path& path) {
    std::vector<VariantResult> out;
    (void)read_shard(path, [&](VariantResult&& one) { out.push_back(std::move(one)); });
    return out;
}

std::string bytes_of(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

void write_bytes(const fs::path& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

void write_shard(const fs::path& path, std::uint64_t from, std::uint64_t to) {
    ShardWriter writer(path, some_head());
    for (std::uint64_t v = from; v < to; ++v) writer.append(result_of(v));
    writer.finish();
}

}  // namespace

TEST_CASE("a shard gives back its head and its variants to the last bit") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    write_shard(path, 0, 12);
    const ShardRead read = read_shard(path, {});
    CHECK(read.head.study_hash == some_head().study_hash);
    CHECK(read.head.keys[0].asked == "times 0.5..2");
    CHECK(std::isnan(read.head.measures[0].nominal));
    CHECK(read.variants == 12);
    CHECK(read.torn == 0);
    const auto results = all_of(path);
    for (std::uint64_t v = 0; v < 12; ++v) CHECK(results[v] == result_of(v));
    CHECK(std::signbit(results[1].measures[1].second));
}

TEST_CASE("wherever a shard is cut, what was whole is kept and the work goes on behind it") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    write_shard(path, 0, 6);
    const std::string whole = bytes_of(path);
    std::int64_t before = -1;
    for (std::size_t length = 0; length < whole.size(); ++length) {
        write_bytes(path, whole.substr(0, length));
        std::int64_t kept = 0;
        if (!hardly_begun(path)) kept = read_shard(path, {}).variants;
        CHECK_UNARY(kept >= before);
        CHECK_UNARY(kept < 6);
        before = kept;
        if (length % 37 != 0) continue;  // the writer is slower
        {
            ShardWriter writer(path, some_head());
            for (auto v = static_cast<std::uint64_t>(kept); v < 6; ++v) writer.append(result_of(v));
        }
        const auto results = all_of(path);
        REQUIRE(results.size() == 6);
        for (std::uint64_t v = 0; v < 6; ++v) CHECK_UNARY(results[v] == result_of(v));
    }
    CHECK(before == 5);
}

TEST_CASE("a flipped bit anywhere never gives another number") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    write_shard(path, 0, 6);
    const std::string whole = bytes_of(path);
    for (std::size_t at = 0; at < whole.size(); ++at) {
        std::string hurt = whole;
        hurt[at] = static_cast<char>(hurt[at] ^ (1 << (at % 8)));
        write_bytes(path, hurt);
        std::vector<VariantResult> results;
        try {
            results = all_of(path);
        } catch (const InputError&) {
            continue;  // the head: refused as a whole
        }
        CHECK_UNARY(results.size() < 6);
        for (const VariantResult& one : results) CHECK_UNARY(one == result_of(one.variant));
    }
}

TEST_CASE("a shard of another study is refused with what differs") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    write_shard(path, 0, 2);
    const auto refusal = [&](StudyHead other) {
        seal_head(other);
        try {
            ShardWriter writer(path, other);
        } catch (const InputError& refused) {
            return std::string(refused.what());
        }
        return std::string("not refused");
    };
    StudyHead other = some_head();
    other.seed = 4;
    CHECK(refusal(other).find("seed: 3 there, 4 here") != std::string::npos);
    other = some_head();
    other.keys[0].asked = "times 0.5..3";
    CHECK(refusal(other).find("disc.damping=times 0.5..2 there, disc.damping=times 0.5..3 here") !=
          std::string::npos);
    other = some_head();
    other.identity.inputs[0].second = "00fe";
    CHECK(refusal(other).find("the model: files of the scenario") != std::string::npos);
    other = some_head();
    other.identity.inputs[0].first = "elsewhere/a.toml";
    other.identity.command_line = "otherwise typed";
    CHECK(refusal(other) == "not refused");
    CHECK(all_of(path).size() == 2);
}

TEST_CASE("two writers of one shard exclude each other") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    const ShardWriter first(path, some_head());
    CHECK_THROWS_AS(ShardWriter(path, some_head()), BusyError);
}

TEST_CASE("a file that is no shard is refused and left alone") {
    const testing::ScratchFolder folder;
    const fs::path path = folder.path() / "a.shard";
    write_bytes(path, "title = \"not a shard\"\n");
    CHECK_THROWS_AS((void)read_shard(path, {}), InputError);
    CHECK_THROWS_AS(ShardWriter(path, some_head()), InputError);
    CHECK(bytes_of(path) == "title = \"not a shard\"\n");
}
