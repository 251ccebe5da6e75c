// SPDX-License-Identifier: MIT
// Tables of measured values: what is read, and what is refused with which words.
#include "libdamper/describe/measured_table.hpp"

#include "libdamper/base/error.hpp"

#include "tests/support/samples.hpp"

#include <algorithm>
#include <cmath>
#include <doctest/doctest.h>
#include <numbers>
#include <string>
#include <sys/stat.h>
#include <unistd.h>
#include <vector>

using namespace damper;

namespace {

constexpr double degree = std::numbers::pi / 180.0;

TableRequest bench() {
    TableRequest request;
    request.columns = {{.key = "twist",
                        .due = Angle::dimension,
                        .names = {"twist", "angle"},
                        .unit_option = "--angle-unit deg"},
                       {.key = "torque",
                        .due = Torque::dimension,
                        .names = {"torque", "moment"},
                        .unit_option = "--torque-unit 'N m'"},
                       {.key = "time",
                        .due = Time::dimension,
                        .names = {"time"},
                        .required = false,
                        .rising = true}};
    request.fewest_rows = 3;
    return request;
}

MeasuredTable read(const std::string& text, const TableRequest& request = bench()) {
    return parse_measured_table(text, "bench.csv", request);
}

struct BrokenTable {
    const char* name;
    std::string text;
    int line, column;
    const char* found;
    const char* expected;
    const char* mend;
};

const std::string units = "twist [deg];torque [N m]\n";
const std::string good = "0,5;1\n1,5;2\n2,5;3\n";

std::vector<BrokenTable> broken() {
    return {
        {"empty", "", 0, 0, "an empty file", "a line of names", ""},
        {"byte order mark only", "\xEF\xBB\xBF", 0, 0, "an empty file", "a line of names", ""},
        {"comments only", "# one\n\n% two\n", 0, 0, "blank lines and comments only",
         "a line of names", ""},
        {"names only", units, 0, 0, "no row of numbers", "at least 3 rows", ""},
        {"too few rows", units + "0,5;1\n1,5;2\n", 0, 0, "2 rows", "at least 3 rows", ""},
        {"one column", "torque [N m]\n1\n2\n3\n", 1, 1, "one column", "at least two columns",
         "semicolons"},
        {"blanks part columns", "twist[deg]  torque[Nm]\n0.5 1\n1.5 2\n", 1, 1, "one column",
         "semicolons, commas or tabs", "where blanks part them now"},
        {"no names", "0.5;1\n1.5;2\n2.5;3\n", 1, 1, "numbers in the first line",
         "names of the columns", "twist [deg]; torque [N m]"},
        {"row too short", units + "0,5;1\n1,5\n2,5;3\n", 3, 1, "1 cell parted by semicolons",
         "2 cells", "as many cells as there are names"},
        {"row too long", units + "0,5;1;9\n1,5;2\n", 2, 1, "3 cells", "2 cells", ""},
        {"decimal comma parts columns", "twist [deg],torque [N m]\n0,5,1,0\n1,5,2,0\n", 2, 1,
         "4 cells parted by commas", "2 cells", "A comma cannot be decimal sign and part"},
        {"numbers parted otherwise", "twist [deg],torque [N m]\n0.5;1.0\n", 2, 1, "1 cell",
         "2 cells", "use semicolons throughout"},
        {"tabs and semicolons", "twist [deg]\ttorque [N m];remark\n1\t2;x\n", 1, 1,
         "tabs and semicolons", "one separator", "--separator"},
        {"mixed decimal signs", units + "0,5;1\n1.5;2\n2,5;3\n", 3, 1, "\"0,5\" in line 2",
         "one decimal sign", "do not group thousands"},
        {"grouped and decimal", units + "0,5;1.234,5\n1,5;2\n2,5;3\n", 2, 1,
         "\"1.234,5\", more than one comma or point", "one decimal sign", "group thousands"},
        {"comma that may group", units + "1,234;5\n2,345;6\n3,456;7\n", 2, 1,
         "\"1,234\", which can be 1.234 or 1234", "tells what the comma is",
         "a zero more behind it: 1,2340."},
        {"point that may group", units + "1.234;5\n2.345;6\n3.456;7\n", 2, 1,
         "\"1.234\", which can be 1.234 or 1234", "tells what the point is",
         "a zero more behind it: 1.2340."},
        {"text in the middle", units + "0,5;1\nreversal;2\n2,5;3\n", 3, 1, "\"reversal\"",
         "a number", "a line that begins with #"},
        {"second row of names", units + "0,5;1\ntwist;torque\n2,5;3\n", 3, 1, "\"twist\"",
         "a number", ""},
        {"not a number", units + "0,5;1\n1,5;NaN\n2,5;3\n", 3, 5, "\"NaN\"", "a finite number",
         "Leave out rows"},
        {"infinite", units + "0,5;1\n1,5;-inf\n2,5;3\n", 3, 5, "\"-inf\"", "a finite number", ""},
        {"too large", units + "0,5;1e999\n1,5;2\n2,5;3\n", 2, 5, "\"1e999\"",
         "that a computer can hold", ""},
        {"empty cell", units + "0,5;1\n1,5;\n2,5;3\n", 3, 5, "an empty cell", "a number",
         "Leave out rows"},
        {"unit in a cell", units + "0,5;1 N m\n1,5;2\n2,5;3\n", 2, 5,
         "\"1 N m\", a number with a unit", "a number", "behind the name of the column"},
        {"blank in a number", units + "0,5;1 234\n1,5;2\n2,5;3\n", 2, 5, "with a blank inside",
         "a number", "group"},
        {"two signs", units + "0,5;--1\n1,5;2\n2,5;3\n", 2, 5, "\"--1\"", "a number", ""},
        {"no unit of angle", "twist;torque [N m]\n" + good, 1, 1,
         "no unit for the column \"twist\"", "an angle", "--angle-unit deg"},
        {"no unit of torque", "twist [deg];torque\n" + good, 1, 13, "no unit", "a torque",
         "\"torque [N m]\""},
        {"unknown unit", "twist [gon];torque [N m]\n" + good, 1, 1, "gon", "an angle", ""},
        {"wrong unit", "twist [deg];torque [N]\n" + good, 1, 13, "\"N\", a force", "a torque", ""},
        {"two units", "twist [deg];torque [N m]\nrad;N m\n" + good, 2, 1,
         "two units, \"deg\" and \"rad\" in the row of units", "one unit", "Leave out"},
        {"column missing", "twist [deg];force [N]\n" + good, 1, 1,
         "the columns \"twist [deg]\", \"force [N]\"", "a column \"torque\"", "torque [N m]"},
        {"column twice", "twist [deg];angle [deg];torque [N m]\n1;1;1\n", 1, 13,
         "\"twist [deg]\" and \"angle [deg]\"", "one such column", "Rename"},
        {"time falls", "time [s];twist [deg];torque [N m]\n0;0;0\n2;1;1\n1;2;2\n", 4, 1,
         "less than in the row before", "does not fall", "order in which they were measured"},
        {"quotation mark open", units + "\"0,5;1\n1,5;2\n", 2, 1, "a quotation mark without",
         "around a whole cell", ""},
        {"quotation mark open in names", "\"twist [deg];torque [N m]\n1;2\n", 1, 1,
         "a quotation mark without", "around a whole cell", ""},
        {"UTF-16", std::string("\xFF\xFEt\0w\0", 6), 1, 1, "UTF-16", "UTF-8", "encoding UTF-8"},
        {"zero byte", units + std::string("1\0;2\n", 5), 2, 2, "a zero byte", "UTF-8",
         "no text file"},
        {"single byte degree sign", "twist [\xB0];torque [N m]\n" + good, 1, 8, "0xB0", "UTF-8",
         "encoding UTF-8"},
        {"carriage returns alone", "twist [deg];torque [N m]\r0,5;1\r1,5;2\r", 1, 1,
         "carriage return alone", "line feed", "Save the file again"},
    };
}

}  // namespace

TEST_CASE("broken tables are refused with place, finding, expectation and mend") {
    const auto cases = broken();
    CHECK(cases.size() >= 35);
    for (const BrokenTable& one : cases) {
        CAPTURE(one.name);
        const auto findings = damper::testing::findings_of([&] { (void)read(one.text); });
        REQUIRE_FALSE(findings.empty());
        const Finding& first = findings.front();
        CAPTURE(to_text(first));
        CHECK(first.place.file == "bench.csv");
        CHECK(first.place.line == one.line);
        CHECK(first.place.column == one.column);
        CHECK(first.found.find(one.found) != std::string::npos);
        CHECK(first.expected.find(one.expected) != std::string::npos);
        CHECK(first.mend.find(one.mend) != std::string::npos);
        const std::string text = to_text(findings);
        CHECK(text.size() < 8000);
        CHECK(std::ranges::none_of(text, [](char c) {
            return c != '\n' && (static_cast<unsigned char>(c) < 0x20U || c == 0x7F);
        }));
    }
}

TEST_CASE("an option is named only where there is one") {
    TableRequest request = bench();
    for (const bool has_options : {false, true}) {
        request.has_options = has_options;
        const auto findings = damper::testing::findings_of(
            [&] { (void)read(units + "1,234;5\n2,345;6\n3,456;7\n", request); });
        REQUIRE_FALSE(findings.empty());
        CHECK((findings.front().mend.find("--decimal comma") != std::string::npos) == has_options);
    }
    // What is said to do instead does it.
    CHECK(read(units + "1,2340;5\n2,345;6\n3,456;7\n").column("twist").values[1] ==
          doctest::Approx(2.345 * degree));
}

TEST_CASE("every faulty cell of a table is told, not only the first") {
    const auto findings =
        damper::testing::findings_of([] { (void)read(units + "0,5;x\ny;2\n2,5;3\n"); });
    CHECK(findings.size() == 2);
}

TEST_CASE("what is no regular readable file is refused") {
    const damper::testing::ScratchFolder scratch;
    const auto why = [&](const std::filesystem::path& file) {
        const auto findings =
            damper::testing::findings_of([&] { (void)read_measured_table(file, bench()); });
        REQUIRE(findings.size() == 1);
        return findings[0].found;
    };
    CHECK(why(scratch.path()) == "a folder");
    CHECK(why(scratch.path() / "absent.csv") == "no such file");
    const auto pipe = scratch.path() / "pipe";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    CHECK(why(pipe) == "a pipe");
    const auto huge = scratch.write("huge.csv", units);
    REQUIRE(::truncate(huge.c_str(), static_cast<off_t>(largest_table) + 1) == 0);
    CHECK(why(huge).find("more than 67108864 bytes") != std::string::npos);
    if (::geteuid() != 0) {  // nothing is hidden from root
        const auto hidden = scratch.write("hidden.csv", units + good);
        REQUIRE(::chmod(hidden.c_str(), 0000) == 0);
        CHECK_THROWS_AS((void)read_measured_table(hidden, bench()), FileError);
    }
}

TEST_CASE("the same table is read the same however it is written") {
    const std::vector<std::string> ways = {
        "twist [deg];torque [N m]\n0,5;-1\n1,5;2,25\n2,5;3\n",
        "\xEF\xBB\xBFtwist [deg];torque [N m]\r\n0,5;-1\r\n1,5;2,25\r\n2,5;3\r\n",
        "twist [deg],torque [N m]\n0.5,-1\n1.5,2.25\n2.5,3\n",
        "twist [deg]\ttorque [N m]\n0.5\t-1\n1.5\t2.25\n2.5\t3\n",
        "# a bench\ntwist;torque\n\ndeg;N m\n0.5;-1\n# reversal\n1.5;2.25\n2.5;+3.0\n",
        "Angle (deg);remark;Torque / N m\n0.5;a;-1\n1.5;;2.25\n2.5;1,5 or so;3\n",
        "\"twist [°]\",\"torque [Nm]\"\n\"0.5\",-1e0\n1.5,225e-2\n2.5,3\n",
        "torque_Nm,twist_deg\n-1,0.5\n2.25,1.5\n3,2.5\n",
        "twist [deg];torque [kN m];\n0,5;-0,001;\n1,5;0,00225;\n2,5;0,003;\n",
        "twist [deg];torque [N m]\n0,5;\xE2\x88\x92"
        "1\n1,5;2,25\n2,5;3",
    };
    for (const std::string& text : ways) {
        CAPTURE(text);
        const MeasuredTable table = read(text);
        const std::vector<double>& twist = table.column("twist").values;
        const std::vector<double>& torque = table.column("torque").values;
        REQUIRE(twist.size() == 3);
        REQUIRE(torque.size() == 3);
        const double expected[3][2] = {{0.5, -1.0}, {1.5, 2.25}, {2.5, 3.0}};
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(twist[i] == doctest::Approx(expected[i][0] * degree).epsilon(1e-14));
            CHECK(torque[i] == doctest::Approx(expected[i][1]).epsilon(1e-14));
        }
        CHECK_FALSE(table.has("time"));
        CHECK(table.column("time").values.empty());
    }
}

TEST_CASE("rows know their line, and units may be said outside the file") {
    TableRequest request = bench();
    request.columns[0].unit = "rad";
    const MeasuredTable table =
        read("# bench\ntwist;torque [N m];time [s]\n\n0,5;1;0\n#\n1,5;2;0\n2,5;3;7\n", request);
    CHECK(table.lines == std::vector<int>{4, 6, 7});
    CHECK(table.place(1).line == 6);
    CHECK(table.column("twist").values[0] == 0.5);
    CHECK(table.column("time").values.back() == 7.0);
    CHECK(table.separator == ';');
    CHECK(table.decimal == ',');
    // Saying the same twice is no contradiction.
    CHECK(read("twist [rad];torque [N m]\n" + good, request).column("twist").values[0] == 0.5);
}

TEST_CASE("a decimal sign that was said is not asked for") {
    TableRequest request = bench();
    request.decimal = ',';
    const std::string text = units + "1,234;5\n2,345;6\n3,456;7\n";
    CHECK(read(text, request).column("twist").values[0] ==
          doctest::Approx(1.234 * degree).epsilon(1e-14));
    request.decimal = '.';
    const auto findings = damper::testing::findings_of([&] { (void)read(text, request); });
    REQUIRE_FALSE(findings.empty());
    CHECK(findings[0].found == "\"1,234\"");
}
