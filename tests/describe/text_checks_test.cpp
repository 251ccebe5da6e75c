// SPDX-License-Identifier: MIT
#include "libdamper/describe/text_checks.hpp"

#include "libdamper/describe/parse_toml.hpp"

#include <doctest/doctest.h>
#include <string>
#include <variant>

using namespace damper;

namespace {

bool parses(const std::string& text) {
    SourceMap map;
    const std::size_t source = map.add("text", text);
    return std::holds_alternative<TreeNode>(parse_toml(text, source, map));
}

std::string repeated(const std::string& text, int times) {
    std::string all;
    for (int i = 0; i < times; ++i) all += text;
    return all;
}

}  // namespace

TEST_CASE("ordinary text is fit for parsing, in any script") {
    CHECK_FALSE(unfit_for_parsing(""));
    CHECK_FALSE(unfit_for_parsing("a = 1\n"));
    CHECK_FALSE(unfit_for_parsing("# Größe, 寸法, размер, 🚚\n"));
    CHECK_FALSE(unfit_for_parsing("a = [" + repeated("1.5, ", 400) + "]\n"));
    CHECK_FALSE(unfit_for_parsing(repeated("# line\n", 100000)));
}

TEST_CASE("each kind of unfit text is named with its place") {
    CHECK(unfit_for_parsing(std::string(largest_description + 1, ' ')));
    CHECK(unfit_for_parsing("ok\n" + std::string(longest_line + 1, ' '))->place.line == 2);
    CHECK_FALSE(unfit_for_parsing(std::string(longest_line, ' ')));
    CHECK(unfit_for_parsing(std::string("a\nbc\0d", 6))->place.column == 3);
    CHECK(unfit_for_parsing("a.b." + repeated("c.", most_dots_in_line)));
    CHECK(unfit_for_parsing("1.1.1" + repeated(".1.1", most_dots_in_line)));
}

TEST_CASE("malformed UTF-8 of every kind is refused") {
    for (const std::string bytes : {"\x80", "\xBF", "\xC0\x80", "\xC1\xBF", "\xC3", "\xE0\x80\x80",
                                    "\xE2\x82", "\xED\xA0\x80", "\xF0\x80\x80\x80",
                                    "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF", "\xC3\x28"}) {
        CAPTURE(bytes.size());
        const std::string text = std::string("x").append(bytes);
        CHECK(unfit_for_parsing(text));
        CHECK_FALSE(parses(text));
    }
    CHECK_FALSE(unfit_for_parsing("\xF4\x8F\xBF\xBF \xED\x9F\xBF \xEF\xBF\xBD \xC2\x80"));
}

TEST_CASE("deeply nested text neither crashes nor hangs") {
    CHECK_FALSE(parses(repeated("[", 4000)));
    CHECK_FALSE(parses(repeated("[\n", 200000)));
    CHECK_FALSE(parses(repeated("a = [\n{", 100000)));
    CHECK_FALSE(parses(repeated("a.", 2000) + "a = 1"));
    CHECK_FALSE(parses(std::string("[").append(repeated("a.", 2000)) + "a]"));
    // As deep as the checks allow on each line, in as many lines as the parser allows.
    const std::string level = repeated("a.", most_dots_in_line) + "a = [\n{";
    CHECK_FALSE(parses(repeated("a.", 20) + "a = 1"));
    CHECK(parses(repeated("a.", 10) + "a = 1"));
    CHECK_FALSE(parses(repeated(level, 300)));
    CHECK_FALSE(parses(std::string("b = [{").append(repeated(level, 100)) + "c = 1" +
                       repeated("}]", 100) + "}]"));
}

TEST_CASE("a text broken off at any byte is refused or read, never more than that") {
    const std::string text =
        "title = \"x\" # ü\n[[stages]]\nends = [1.5, \"6 deg\"]\nt = { a.b = 'c', d = \"\\u00e4\" "
        "}\n"
        "m = \"\"\"two\nlines\"\"\"\nn = -inf\nd = 2024-02-29T12:00:00Z\n";
    REQUIRE(parses(text));
    int read = 0;
    for (std::size_t size = 0; size < text.size(); ++size) read += parses(text.substr(0, size));
    CHECK(read > 3);
    CHECK(read < 60);
}
