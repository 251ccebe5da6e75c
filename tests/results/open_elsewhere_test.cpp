// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/results/result_file.hpp"

#include "tests/results/rich_record.hpp"
#include "tests/support/scratch_folder.hpp"

#include <cstdlib>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <string>
#include <sys/wait.h>

using namespace damper;
using namespace damper::testing;

namespace {

constexpr int not_installed = 77;

int shell(const std::string& command) {
    const int status = std::system(command.c_str());
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

/// Whether the reader takes the file; a reader that is not installed is passed over, aloud.
bool opens(const std::string& reader, const std::filesystem::path& path, int samples) {
    const int status =
        shell(fmt::format("/usr/bin/python3 '{}/tests/results/open_elsewhere.py' {} '{}' {}",
                          DAMPER_SOURCE_DIR, reader, path.string(), samples));
    if (status == not_installed || status == 127) {
        MESSAGE("skipped: not installed: " << reader);
        return true;
    }
    return status == 0;
}

}  // namespace

TEST_CASE("h5py opens a result, with text, units, axes and filters") {
    const ScratchFolder folder;
    write_result(folder / "rich.h5", rich_record(500));
    CHECK(opens("h5py", folder / "rich.h5", 500));
}

TEST_CASE("xarray opens every group of a result through h5netcdf") {
    const ScratchFolder folder;
    write_result(folder / "rich.h5", rich_record(500));
    CHECK(opens("h5netcdf", folder / "rich.h5", 500));
}

TEST_CASE("xarray opens every group of a result through the netCDF library") {
    const ScratchFolder folder;
    write_result(folder / "rich.h5", rich_record(500));
    CHECK(opens("netcdf4", folder / "rich.h5", 500));
}

TEST_CASE("xarray opens a result without a single sample") {
    const ScratchFolder folder;
    write_result(folder / "rich.h5", rich_record(0));
    CHECK(opens("h5netcdf", folder / "rich.h5", 0));
    CHECK(opens("netcdf4", folder / "rich.h5", 0));
}

TEST_CASE("ncdump and h5dump print a result to its end") {
    const ScratchFolder folder;
    write_result(folder / "rich.h5", rich_record(500));
    for (const std::string tool : {"ncdump", "h5dump"}) {
        CAPTURE(tool);
        const auto printed = folder / (tool + ".txt");
        const int status = shell(
            fmt::format("{} '{}' > '{}'", tool, (folder / "rich.h5").string(), printed.string()));
        if (status == 127) {
            MESSAGE("skipped: not installed: " << tool);
            continue;
        }
        CHECK(status == 0);
        const std::vector<std::byte> bytes = read_file(printed, 100'000'000);
        const std::string text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
        CHECK(text.find("Let it cool first.") != text.npos);
        CHECK(text.find("flywheel_speed") != text.npos);
    }
}
