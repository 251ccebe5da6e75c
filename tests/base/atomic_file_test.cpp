// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"

#include "tests/support/child.hpp"
#include "tests/support/scratch_folder.hpp"
#include "tests/support/small_disk.hpp"

#include <algorithm>
#include <chrono>
#include <doctest/doctest.h>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>
#include <vector>

using namespace damper;
using namespace damper::testing;
namespace fs = std::filesystem;

namespace {

std::string text_of(const fs::path& path) {
    const auto bytes = read_file(path, 100'000'000);
    std::string text(bytes.size(), '\0');
    std::transform(bytes.begin(), bytes.end(), text.begin(),
                   [](std::byte b) { return static_cast<char>(b); });
    return text;
}

/// The message of the FileError that writing throws; empty if it does not throw.
std::string refusal(const fs::path& path, const std::string& text) {
    try {
        write_file_atomically(path, text);
    } catch (const FileError& error) {
        return error.what();
    }
    return {};
}

}  // namespace

TEST_CASE("a file is replaced whole and nothing else is left in the folder") {
    const ScratchFolder folder;
    write_file_atomically(folder / "a.h5", "first, and longer");
    write_file_atomically(folder / "a.h5", "second");
    CHECK(text_of(folder / "a.h5") == "second");
    CHECK(folder.names() == std::vector<std::string>{"a.h5"});
}

TEST_CASE("parts that killed writers left are removed, and nobody else's files") {
    const ScratchFolder folder;
    for (const char* name :
         {"a.h5.part.123", "a.h5.part.99999", "a.h5.part.old", "b.h5.part.123", "a.h5.lock"}) {
        std::ofstream(folder / name) << "half";
    }
    write_file_atomically(folder / "a.h5", "whole");
    CHECK(folder.names() == std::vector<std::string>{"a.h5", "a.h5.part.old", "b.h5.part.123"});
}

TEST_CASE("a writer that finds the file held gives up at once and changes nothing") {
    const ScratchFolder folder;
    write_file_atomically(folder / "a.h5", "earlier");
    const FileLock held(folder / "a.h5.lock", folder / "a.h5");
    CHECK_THROWS_AS(write_file_atomically(folder / "a.h5", "mine"), BusyError);
    const int status = in_child([&] {
        try {
            write_file_atomically(folder / "a.h5", "mine");
        } catch (const BusyError&) {
            return 5;
        }
        return 0;
    });
    CHECK(status == 5);
    CHECK(text_of(folder / "a.h5") == "earlier");
    CHECK(folder.names() == std::vector<std::string>{"a.h5", "a.h5.lock"});
}

TEST_CASE("of many processes that fight for a lock, never two hold it") {
    const ScratchFolder folder;
    std::vector<pid_t> children;
    for (int i = 0; i < 4; ++i) {
        children.push_back(start_child([&] {
            for (int round = 0; round < 2000; ++round) {
                try {
                    const FileLock lock(folder / "x.lock", folder / "x");
                    // Made only by the holder, so finding it there means two holders.
                    const FileDescriptor alone(
                        ::open((folder / "alone").c_str(), O_CREAT | O_EXCL | O_WRONLY, 0600));
                    if (!alone.is_open()) return 1;
                    ::unlink((folder / "alone").c_str());
                } catch (const BusyError&) {
                }
            }
            return 0;
        }));
    }
    for (const pid_t child : children) CHECK(wait_for(child) == 0);
    CHECK(folder.names().empty());
}

TEST_CASE("an output folder has one holder, and is free again when he is killed") {
    const ScratchFolder folder;
    const fs::path out = folder / "runs";
    {
        const OutputLock first(out);
        CHECK_THROWS_AS(OutputLock{out}, BusyError);
    }
    int ready[2];
    REQUIRE(::pipe(ready) == 0);
    const pid_t child = start_child([&] {
        const OutputLock held(out);
        (void)!::write(ready[1], "x", 1);
        ::pause();
        return 0;
    });
    char byte = 0;
    REQUIRE(::read(ready[0], &byte, 1) == 1);
    CHECK_THROWS_AS(OutputLock{out}, BusyError);
    ::kill(child, SIGKILL);
    CHECK(wait_for(child) == 128 + SIGKILL);
    CHECK_NOTHROW(OutputLock{out});
    CHECK(fs::is_empty(out));
}

TEST_CASE("a full disk is named with the file and leaves the earlier file alone") {
    const ScratchFolder folder;
    const SmallDisk disk(folder.path(), "size=256k");
    if (!disk.mounted()) {
        MESSAGE("skipped: mounting a small file system needs root");
        return;
    }
    write_file_atomically(folder / "a.h5", "earlier");
    const std::string message = refusal(folder / "a.h5", std::string(1'000'000, 'x'));
    CHECK(message == (folder / "a.h5").string() + ": cannot be written: the disk is full");
    CHECK(text_of(folder / "a.h5") == "earlier");
    CHECK(folder.names() == std::vector<std::string>{"a.h5"});
}

TEST_CASE("a read-only disk is named and leaves the earlier file alone") {
    const ScratchFolder folder;
    const SmallDisk disk(folder.path(), "size=256k");
    if (!disk.mounted()) {
        MESSAGE("skipped: mounting a small file system needs root");
        return;
    }
    write_file_atomically(folder / "a.h5", "earlier");
    REQUIRE(disk.make_read_only());
    CHECK(refusal(folder / "a.h5", "new").find("the file system is read-only") !=
          std::string::npos);
    CHECK(text_of(folder / "a.h5") == "earlier");
}

TEST_CASE("a folder without permission is named") {
    const ScratchFolder folder;
    write_file_atomically(folder / "a.h5", "earlier");
    fs::permissions(folder.path(), fs::perms::owner_read | fs::perms::owner_exec |
                                       fs::perms::others_read | fs::perms::others_exec);
    const int status = in_child([&] {
        // To root nothing is forbidden; 65534 is "nobody" on Debian.
        if (::geteuid() == 0 && ::setuid(65534) != 0) return 77;
        return refusal(folder / "a.h5", "new").find("no permission") != std::string::npos ? 4 : 0;
    });
    fs::permissions(folder.path(), fs::perms::owner_all);
    CHECK(status == 4);
    CHECK(text_of(folder / "a.h5") == "earlier");
}

TEST_CASE("what is no regular file is not replaced") {
    const ScratchFolder folder;
    fs::create_directory(folder / "folder");
    REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
    CHECK_FALSE(refusal(folder / "folder", "x").empty());
    CHECK_FALSE(refusal(folder / "pipe", "x").empty());
    CHECK_FALSE(refusal("/dev/full", "x").empty());
    CHECK_FALSE(refusal(folder / "missing/a.h5", "x").empty());
    CHECK_FALSE(refusal(folder.path().string() + "/", "x").empty());
    CHECK(fs::is_character_file("/dev/full"));
    CHECK(fs::is_fifo(folder / "pipe"));
}

TEST_CASE("a symbolic link is replaced and what it pointed to is untouched") {
    const ScratchFolder folder;
    std::ofstream(folder / "target") << "precious";
    fs::create_symlink(folder / "target", folder / "a.h5");
    write_file_atomically(folder / "a.h5", "new");
    CHECK(text_of(folder / "target") == "precious");
    CHECK(text_of(folder / "a.h5") == "new");
}

TEST_CASE("a writer killed at any moment leaves a whole file behind") {
    const ScratchFolder folder;
    const fs::path path = folder / "a.txt";
    const std::size_t size = 300'000;
    write_file_atomically(path, std::string(size, 'a'));
    std::mt19937 random(20240611);  // any seed
    std::uniform_int_distribution<int> pause(0, 8000);
    for (int kill = 0; kill < 50; ++kill) {
        const pid_t child = start_child([&] {
            for (char letter = 'a';; letter = letter == 'z' ? 'a' : static_cast<char>(letter + 1)) {
                write_file_atomically(path, std::string(size, letter));
            }
            return 0;
        });
        std::this_thread::sleep_for(std::chrono::microseconds(pause(random)));
        ::kill(child, SIGKILL);
        REQUIRE(wait_for(child) == 128 + SIGKILL);
        const std::string text = text_of(path);
        REQUIRE(text.size() == size);
        REQUIRE(text.find_first_not_of(text.front()) == std::string::npos);
    }
    write_file_atomically(path, "end");
    CHECK(folder.names() == std::vector<std::string>{"a.txt"});
}

TEST_CASE("reading refuses what is missing, too long or not a regular file") {
    const ScratchFolder folder;
    std::ofstream(folder / "ten") << "0123456789";
    REQUIRE(::mkfifo((folder / "pipe").c_str(), 0600) == 0);
    CHECK(read_file(folder / "ten", 10).size() == 10);
    CHECK_THROWS_AS((void)read_file(folder / "ten", 9), InputError);
    CHECK_THROWS_AS((void)read_file(folder / "missing", 10), InputError);
    CHECK_THROWS_AS((void)read_file(folder / "ten/below", 10), InputError);
    CHECK_THROWS_AS((void)read_file(folder.path(), 10), InputError);
    CHECK_THROWS_AS((void)read_file(folder / "pipe", 10), InputError);
}
