// SPDX-License-Identifier: MIT
#include "libdamper/describe/part_files.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/describe/read.hpp"

#include "tests/support/samples.hpp"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <sys/stat.h>
#include <unistd.h>
#include <vector>

using namespace damper;
using damper::testing::findings_of;
using damper::testing::samples;
using damper::testing::ScratchFolder;

namespace fs = std::filesystem;

namespace {

std::string bytes_of(const fs::path& file) {
    std::ostringstream text;
    text << std::ifstream(file, std::ios::binary).rdbuf();
    return text.str();
}

std::string idle_with(const std::string& vehicle) {
    return "title = \"x\"\nvehicle = \"" + vehicle + "\"\n[manoeuvre]\nkind = \"idle\"\n";
}

/// A copy of the samples that a test may spoil.
struct Copy {
    ScratchFolder folder;
    fs::path models = folder.path() / "models";
    Copy() { fs::copy(samples() / "models", models, fs::copy_options::recursive); }
    [[nodiscard]] std::vector<Finding> read(const fs::path& scenario) const {
        return findings_of([&] { (void)read_scenario(scenario, {models, {}}); });
    }
};

void check_refused(const std::vector<Finding>& findings, const std::string& text) {
    const std::string message = to_text(findings);
    CAPTURE(message);
    CHECK(findings.size() == 1);
    CHECK(message.find(text) != std::string::npos);
}

}  // namespace

TEST_CASE("a part may lie beside the file that names it, or in a folder below") {
    Copy copy;
    copy.folder.write("mine/my_car.toml", bytes_of(copy.models / "vehicles/small_car.toml"));
    copy.folder.write("mine/deep/my_car.toml", bytes_of(copy.models / "vehicles/small_car.toml"));
    for (const std::string path : {"my_car.toml", "./my_car.toml", "deep/my_car.toml"}) {
        CAPTURE(path);
        const auto file = copy.folder.write("mine/scenario.toml", idle_with(path));
        CHECK(copy.read(file).empty());
    }
}

TEST_CASE("a part may be given in place as a table") {
    Copy copy;
    std::string vehicle = bytes_of(copy.models / "vehicles/small_car.toml");
    const std::string line = "tyre = \"small\"\n";
    vehicle.replace(vehicle.find(line), line.size(), "");
    vehicle += "\n[tyre]\n" + bytes_of(copy.models / "tyres/small.toml");
    copy.folder.write("mine/my_car.toml", vehicle);
    CHECK(copy.read(copy.folder.write("mine/scenario.toml", idle_with("my_car.toml"))).empty());
}

TEST_CASE("a symbolic link that leaves both folders is refused, one that stays is followed") {
    Copy copy;
    const auto outside = copy.folder.write("secret.toml", "secret = \"do not show\"\n");
    fs::create_symlink(outside, copy.models / "vehicles/linked.toml");
    fs::create_directories(copy.folder.path() / "mine");
    fs::create_symlink(outside, copy.folder.path() / "mine/linked.toml");
    fs::create_symlink(copy.folder.path(), copy.folder.path() / "mine/up");
    fs::create_symlink("small_car.toml", copy.models / "vehicles/same.toml");
    for (const std::string name : {"linked", "linked.toml", "up/secret.toml"}) {
        CAPTURE(name);
        const auto findings = copy.read(copy.folder.write("mine/scenario.toml", idle_with(name)));
        check_refused(findings, "leads to a file elsewhere");
        CHECK(to_text(findings).find("do not show") == std::string::npos);
    }
    CHECK(copy.read(copy.folder.write("mine/scenario.toml", idle_with("same"))).empty());
}

TEST_CASE("pipes, devices, folders and links to themselves are refused at once") {
    Copy copy;
    const fs::path vehicles = copy.models / "vehicles";
    REQUIRE(::mkfifo((vehicles / "pipe.toml").c_str(), 0600) == 0);
    fs::create_directory(vehicles / "folder.toml");
    fs::create_symlink("round.toml", vehicles / "round.toml");
    const auto with = [&](const std::string& name) {
        return copy.read(copy.folder.write("mine/scenario.toml", idle_with(name)));
    };
    check_refused(with("pipe"), "is a pipe");
    check_refused(with("folder"), "is a folder");
    check_refused(with("round"), "there is no file");
    check_refused(copy.read(vehicles / "pipe.toml"), "a pipe");
    check_refused(copy.read("/dev/null"), "no regular file");
    check_refused(copy.read(copy.folder.path()), "a folder");
    check_refused(copy.read(copy.folder.path() / "none.toml"), "no such file");
}

TEST_CASE("files that include each other in a circle are found out") {
    Copy copy;
    std::string vehicle = bytes_of(copy.models / "vehicles/small_car.toml");
    const std::string name = "gearbox = \"two_speed\"";
    vehicle.replace(vehicle.find(name), name.size(), "gearbox = \"box.toml\"");
    copy.folder.write("mine/car.toml", vehicle);
    std::string box = bytes_of(copy.models / "gearboxes/two_speed.toml");
    const std::string oil = "oil = \"thin\"";
    box.replace(box.find(oil), oil.size(), "oil = \"car.toml\"");
    copy.folder.write("mine/box.toml", box);
    const auto findings = copy.read(copy.folder.write("mine/scenario.toml", idle_with("car.toml")));
    check_refused(findings, "includes itself in a circle");
    CHECK(findings[0].key == "gearbox.oil");
}

TEST_CASE("no more than 64 files are read for one description") {
    Copy copy;
    ReadOptions options{copy.models, {}};
    for (int i = 0; i < 80; ++i) options.changes.emplace_back("disc", "one_stage");
    const auto file = copy.folder.write("mine/scenario.toml", idle_with("small_car"));
    const auto findings = findings_of([&] { (void)read_scenario(file, options); });
    REQUIRE_FALSE(findings.empty());
    CHECK(findings[0].expected.find("at most 64 files") != std::string::npos);
}

TEST_CASE("a file of many megabytes is refused without being read to its end") {
    Copy copy;
    const std::string brackets(10 * 1024 * 1024, '[');
    check_refused(copy.read(copy.folder.write("mine/scenario.toml", brackets)),
                  "a file of more than 1048576 bytes");
    copy.folder.write("models/vehicles/huge.toml", brackets);
    check_refused(copy.read(copy.folder.write("mine/scenario.toml", idle_with("huge"))),
                  "more than 1048576 bytes");
}

TEST_CASE("a file that may not be read is a fault of the file system, not of the input") {
    if (::geteuid() == 0) return;  // nothing is forbidden to root
    Copy copy;
    const auto file = copy.folder.write("mine/scenario.toml", idle_with("small_car"));
    fs::permissions(file, fs::perms::none);
    CHECK_THROWS_AS((void)read_scenario(file, {copy.models, {}}), FileError);
}

TEST_CASE("a file system that refuses is no fault of the input") {
    // Reading this one as a file fails with an error of its own, even for root.
    const fs::path file = "/proc/self/mem";
    if (!fs::exists(file)) return;
    CHECK_THROWS_AS((void)read_scenario(file, {samples() / "models", {}}), FileError);
}

TEST_CASE("a broken part is named once, and the other parts are still checked") {
    Copy copy;
    copy.folder.write("models/discs/two_stage.toml", "title = \n");
    copy.folder.write("models/tyres/small.toml", "title = \"x\"\n");
    const auto findings =
        copy.read(copy.folder.write("mine/scenario.toml", idle_with("small_car")));
    int broken = 0, tyre = 0;
    for (const Finding& finding : findings) {
        broken += finding.key == "disc" ? 1 : 0;
        tyre += finding.key.starts_with("tyre.") ? 1 : 0;
    }
    CHECK(broken == 1);
    CHECK(tyre == 6);
    CHECK(findings.size() == 7);
}
