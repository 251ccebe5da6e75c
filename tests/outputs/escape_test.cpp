// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/utf8.hpp"
#include "libdamper/outputs/visible_text.hpp"

#include <doctest/doctest.h>
#include <string>

using namespace damper;

TEST_CASE("markup in a name comes out as text") {
    CHECK(html_escape("<script>alert(1)</script>") == "&lt;script&gt;alert(1)&lt;/script&gt;");
    CHECK(html_escape("a & b") == "a &amp; b");
    CHECK(html_escape(R"(" onload='x')") == "&quot; onload&#61;&#39;x&#39;");
    CHECK(html_escape("`x`") == "&#96;x&#96;");
}

TEST_CASE("ordinary text of any language passes unchanged") {
    for (const char* text : {"gear 3 loose", "Getriebeöl 80 °C", "Привод", "変速機", "½ · τ ≤ 5"}) {
        CAPTURE(text);
        CHECK(html_escape(text) == text);
        CHECK(visible_text(text) == text);
    }
}

TEST_CASE("marks that turn the reading direction or hide are written out") {
    CHECK(visible_text("a\u202Eb") == "a[U+202E]b");
    CHECK(visible_text("\u2066x\u2069") == "[U+2066]x[U+2069]");
    CHECK(visible_text("zero\u200Bwidth") == "zero[U+200B]width");
    CHECK(visible_text("\uFEFFx") == "[U+FEFF]x");
    CHECK(visible_text("\U000E0041") == "[U+E0041]");
}

TEST_CASE("control characters cannot steer a terminal") {
    CHECK(visible_text("\x1b[2Jx") == "[U+001B][2Jx");
    CHECK(visible_text("bell\x07") == "bell[U+0007]");
    CHECK(visible_text("\xC2\x9B"
                       "31m") == "[U+009B]31m");
    CHECK(visible_text(std::string("nul\0!", 5)) == "nul[U+0000]!");
    CHECK(visible_text("one\ntwo\tthree\r\n") == "one two three  ");
}

TEST_CASE("bytes that are not UTF-8 become replacement characters") {
    for (const std::string bytes : {"\xFF", "\xC0", "\x80", "\xE2\x82", "\xF5"}) {
        CAPTURE(bytes.size());
        const std::string text = visible_text("a" + bytes + "z");
        CHECK(text.find("\uFFFD") == 1);
        CHECK(text.back() == 'z');
    }
    CHECK(visible_text("\xED\xA0\x80") == "\uFFFD\uFFFD\uFFFD");  // half of a surrogate pair
    CHECK(visible_text("\xC0\xBC") == "\uFFFD\uFFFD");            // "<", overlong
    CHECK(visible_text("\xE0\x80\xBC") == "\uFFFD\uFFFD\uFFFD");  // the same in three bytes
    CHECK(visible_text("\xF0\x80\x80\xBC") == "\uFFFD\uFFFD\uFFFD\uFFFD");  // and in four
    CHECK(visible_text("\xF4\x90\x80\x80").find("\uFFFD") == 0);            // above U+10FFFF
}

TEST_CASE("every character that may be encoded decodes to itself") {
    for (char32_t character = 0; character <= 0x10FFFF; ++character) {
        if (character >= 0xD800 && character <= 0xDFFF) continue;
        std::string text;
        append_utf8(text, character);
        const Decoded back = decode_utf8(text);
        if (back.valid && back.character == character && back.length == text.size()) continue;
        FAIL("U+" << static_cast<unsigned long>(character));
    }
}

TEST_CASE("columns follow what a terminal shows") {
    CHECK(columns_of("°C ≤ 5") == 6);
    CHECK(columns_of("変速") == 4);
    CHECK(columns_of("e\u0301") == 1);
}
