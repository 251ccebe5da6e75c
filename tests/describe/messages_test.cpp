// SPDX-License-Identifier: MIT
#include "libdamper/describe/read.hpp"

#include "tests/support/message_cases.hpp"
#include "tests/support/samples.hpp"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <string>
#include <vector>

using namespace damper;
using damper::testing::MessageCase;

namespace {

std::vector<Finding> findings_for(const MessageCase& one) {
    return damper::testing::findings_of([&] {
        (void)read_scenario(one.scenario, {.models = damper::testing::samples() / "models",
                                           .changes = {},
                                           .measures = {{"speed_fluctuation", "rad/s"}}});
    });
}

bool points_at(const Finding& finding, const MessageCase& one) {
    return std::filesystem::path(finding.place.file).filename() == one.file &&
           finding.place.line == one.line && finding.key == one.key;
}

}  // namespace

TEST_CASE("every bad description is refused with the text, key, file and line that it states") {
    const auto cases = damper::testing::message_cases();
    CHECK(cases.size() >= 120);
    for (const MessageCase& one : cases) {
        CAPTURE(one.name);
        const auto findings = findings_for(one);
        const std::string message = to_text(findings);
        CAPTURE(message);
        REQUIRE_FALSE(findings.empty());
        REQUIRE_FALSE(one.expected.empty());
        for (const std::string& text : one.expected) {
            CAPTURE(text);
            CHECK(message.find(text) != std::string::npos);
        }
        CHECK(std::ranges::any_of(findings, [&](const auto& f) { return points_at(f, one); }));
    }
}

TEST_CASE("messages about bad descriptions are short and hold no control characters") {
    for (const MessageCase& one : damper::testing::message_cases()) {
        CAPTURE(one.name);
        const std::string message = to_text(findings_for(one));
        CHECK(message.size() < 8000);
        CHECK(std::ranges::none_of(message, [](char c) {
            return c != '\n' && (static_cast<unsigned char>(c) < 0x20U || c == 0x7F);
        }));
    }
}
