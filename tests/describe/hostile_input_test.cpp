// SPDX-License-Identifier: MIT
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/resolved.hpp"

#include "tests/support/samples.hpp"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

using namespace damper;
using damper::testing::samples;
using damper::testing::ScratchFolder;

namespace {

std::string bytes_of(const std::filesystem::path& file) {
    std::ostringstream text;
    text << std::ifstream(file, std::ios::binary).rdbuf();
    return text.str();
}

/// Whether a call reads its input; if not, it must say what is wrong. Other exceptions pass.
template <class Call>
bool reads(Call&& call) {
    try {
        call();
        return true;
    } catch (const InputError& error) {
        CHECK_FALSE(error.findings().empty());
        return false;
    }
}

}  // namespace

TEST_CASE("a scenario broken off at any byte is read or refused with findings") {
    ScratchFolder folder;
    const std::string whole = bytes_of(samples() / "scenarios" / "idle.toml");
    const ReadOptions options{samples() / "models", {}};
    int read = 0;
    for (std::size_t size = 0; size <= whole.size(); ++size) {
        const auto file = folder.write("cut.toml", whole.substr(0, size));
        read += reads([&] { (void)read_scenario(file, options); }) ? 1 : 0;
    }
    CHECK(read > 0);
    CHECK(read < static_cast<int>(whole.size()) / 2);
}

TEST_CASE("every value may be set to nonsense: it is refused or taken, never more than that") {
    const auto file = samples() / "scenarios" / "idle.toml";
    const auto values = resolved_values(read_scenario(file, {samples() / "models", {}}));
    int refused = 0;
    for (const ResolvedValue& value : values) {
        CAPTURE(value.key);
        for (const std::string nonsense :
             {"", "nan", "-inf", "-1", "1e308", "[]", "[[1]]", "{}", "{a = 1}", "[1979-05-27]",
              "../../x.toml", "1 N m/s/s"}) {
            CAPTURE(nonsense);
            const ReadOptions options{samples() / "models", {{value.key, nonsense}}};
            refused += reads([&] { (void)read_scenario(file, options); }) ? 0 : 1;
        }
    }
    CHECK(refused > 10 * static_cast<int>(values.size()));
}

TEST_CASE("part files with bytes changed at random are read or refused with findings") {
    ScratchFolder folder;
    std::filesystem::copy(samples() / "models", folder.path() / "models",
                          std::filesystem::copy_options::recursive);
    const std::string whole = bytes_of(samples() / "models" / "discs" / "two_stage.toml");
    std::mt19937 random(1);
    const std::string alphabet = "\"'[]{}=.,#\n\\ 0aeN-\x80\xC3";
    for (int i = 0; i < 400; ++i) {
        std::string spoilt = whole;
        for (int k = 0; k < 1 + i % 4; ++k) {
            const std::size_t at = random() % spoilt.size();
            spoilt[at] = alphabet[random() % alphabet.size()];
        }
        CAPTURE(spoilt);
        const auto file = folder.write("models/discs/spoilt.toml", spoilt);
        (void)reads([&] { (void)read_disc(file, {folder.path() / "models", {}}); });
    }
}
