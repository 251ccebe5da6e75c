// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

namespace damper::testing {

/// One bad description of tests/faults/messages with what must be said about it; see the README
/// there.
struct MessageCase {
    std::string name;
    std::filesystem::path scenario;
    std::vector<std::string> expected;  ///< Texts that the message contains.
    std::string key;                    ///< Named by one finding; empty: by none.
    std::string file;                   ///< Name of the file at fault.
    int line = 0;                       ///< Line at fault.
};

[[nodiscard]] inline MessageCase read_message_case(const std::filesystem::path& scenario,
                                                   const std::filesystem::path& expectations) {
    MessageCase read;
    read.scenario = scenario;
    read.file = scenario.filename().string();
    std::ifstream lines(expectations);
    const bool commented = expectations.extension() == ".toml";
    for (std::string line; std::getline(lines, line);) {
        std::string_view rest = line;
        if (commented && !rest.starts_with("# ")) break;
        if (commented) rest.remove_prefix(2);
        const auto take = [&](std::string_view label) {
            if (!rest.starts_with(label)) return false;
            rest.remove_prefix(label.size());
            return true;
        };
        if (take("expect: ")) read.expected.emplace_back(rest);
        if (take("key: ")) read.key = rest;
        if (take("file: ")) read.file = rest;
        if (take("line: ")) read.line = std::stoi(std::string(rest));
    }
    return read;
}

/// All cases, sorted by name.
[[nodiscard]] inline std::vector<MessageCase> message_cases() {
    namespace fs = std::filesystem;
    std::vector<MessageCase> cases;
    for (const auto& entry :
         fs::directory_iterator(fs::path(DAMPER_SOURCE_DIR) / "tests" / "faults" / "messages")) {
        fs::path scenario = entry.path();
        if (entry.is_directory()) scenario /= "scenario.toml";
        if (scenario.extension() != ".toml" || !fs::exists(scenario)) continue;
        const fs::path beside = entry.path() / "expect.txt";
        cases.push_back(read_message_case(scenario, fs::exists(beside) ? beside : scenario));
        cases.back().name = entry.path().stem().string();
    }
    std::ranges::sort(cases, {}, &MessageCase::name);
    return cases;
}

}  // namespace damper::testing
