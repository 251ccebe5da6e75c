// SPDX-License-Identifier: MIT
#include "libdamper/describe/tree.hpp"

#include "libdamper/describe/change.hpp"
#include "libdamper/describe/parse_toml.hpp"

#include <doctest/doctest.h>
#include <string>
#include <variant>
#include <vector>

using namespace damper;

namespace {

TreeNode tree_of(const std::string& text, SourceMap& map) {
    return std::get<TreeNode>(parse_toml(text, map.add("file.toml", text), map));
}

}  // namespace

TEST_CASE("keys keep the order and the places of the file") {
    SourceMap map;
    const TreeNode root = tree_of("zeta = 1\n  alpha = \"two\"\n[mid]\nx = [true, 1.5]\n", map);
    const auto& table = *root.table();
    REQUIRE(table.size() == 3);
    CHECK(table[0].key == "zeta");
    CHECK(table[1].key == "alpha");
    CHECK(table[1].spot.line == 2);
    CHECK(table[1].spot.column == 3);
    CHECK(table[1].node.spot.column == 11);
    CHECK(table[2].key == "mid");
    CHECK(map.where(table[2].node.table()->front().node.spot) == "file.toml:4");
    CHECK(map.place(table[1].spot).quote == "  alpha = \"two\"");
}

TEST_CASE("values are put in words and written as they were") {
    SourceMap map;
    const TreeNode root = tree_of(
        "a = \"6 deg\"\nb = 18\nc = 1.5\nd = [1, \"x\"]\ne = {}\nf = []\n"
        "g = true\nh = 2024-02-29\n",
        map);
    std::vector<std::string> words, written;
    for (const TreeEntry& entry : *root.table()) {
        words.push_back(in_words(entry.node));
        written.push_back(as_written(entry.node));
    }
    CHECK(words == std::vector<std::string>{"\"6 deg\"", "18", "1.5", "a list of 2", "a table",
                                            "an empty list", "true", "a date or time"});
    CHECK(written[0] == "6 deg");
    CHECK(written[3] == "[1, \"x\"]");
}

TEST_CASE("a place is found by its key, or by the key around it") {
    SourceMap map;
    const std::size_t source = map.add("file.toml", "one\ntwo\n");
    map.note("disc", {source, 1, 1});
    map.note("disc.stages[1]", {source, 2, 1});
    CHECK(map.find("disc.stages[1].drive_end")->line == 2);
    CHECK(map.find("disc.stages[0].drive_end")->line == 1);
    CHECK(map.find("disc.damping")->line == 1);
    CHECK(map.find("engine") == nullptr);
}

TEST_CASE("long lines are not quoted, control characters not passed on") {
    SourceMap map;
    const std::size_t source = map.add("f", "a\tb\x1b[31m\n" + std::string(500, 'x') + "\n");
    CHECK(map.place({source, 1, 1}).quote == "a b [31m");
    CHECK(map.place({source, 2, 1}).quote.empty());
    CHECK(map.place({source, 9, 1}).quote.empty());
}

TEST_CASE("key paths split into keys and indices") {
    const auto steps = split_path("disc.stages[12].stiffness");
    REQUIRE(steps.size() == 4);
    CHECK(std::get<std::string>(steps[1]) == "stages");
    CHECK(std::get<std::size_t>(steps[2]) == 12);
    CHECK(std::get<std::string>(steps[3]) == "stiffness");
    CHECK(split_path("a[0][1]").size() == 3);
    CHECK(std::get<std::size_t>(split_path("gears[*].backlash")[1]) == every_entry);
}

TEST_CASE("what is no key path splits into nothing") {
    for (const std::string text :
         {"", ".", "a.", ".a", "a..b", "[0]", "a[", "a[]", "a[x]", "a[-1]", "a[1", "a[0]b", "[*]",
          "a[**]", "a[18446744073709551615]", "a[99999999999999999999]",
          "a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q"}) {
        CAPTURE(text);
        CHECK(split_path(text).empty());
    }
}

TEST_CASE("unquoted dotted keys of [change] are the same as quoted ones") {
    SourceMap map;
    const auto quoted = changes_in(tree_of("\"disc.damping\" = \"1\"\n\"disc.grip\" = 4\n", map));
    const auto nested = changes_in(tree_of("disc.damping = \"1\"\ndisc.grip = 4\n", map));
    REQUIRE(quoted.size() == 2);
    REQUIRE(nested.size() == 2);
    CHECK(quoted[0].key == nested[0].key);
    CHECK(quoted[1].key == nested[1].key);
}
