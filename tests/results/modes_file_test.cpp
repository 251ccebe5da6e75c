// SPDX-License-Identifier: MIT
#include "libdamper/results/modes_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/seal.hpp"

#include "tests/support/sample_modes.hpp"
#include "tests/support/scratch_folder.hpp"

#include <cstdlib>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <string>
#include <sys/wait.h>

using namespace damper;
using namespace damper::testing;

namespace {

bool opens(const std::string& reader, const std::filesystem::path& path) {
    const int status = std::system(
        fmt::format("/usr/bin/python3 '{}/tests/results/open_modes_elsewhere.py' {} '{}'",
                    DAMPER_SOURCE_DIR, reader, path.string())
            .c_str());
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    if (code == 77 || code == 127) {
        MESSAGE("skipped: not installed: " << reader);
        return true;
    }
    return code == 0;
}

}  // namespace

TEST_CASE("h5py and xarray open a file of modes, with names along their axes") {
    const ScratchFolder folder;
    write_modes(folder / "sample_modes.h5", sample::modes());
    for (const char* reader : {"h5py", "h5netcdf", "netcdf4"}) {
        CHECK_MESSAGE(opens(reader, folder / "sample_modes.h5"), std::string(reader));
    }
}

TEST_CASE("equal records of modes give equal bytes, and these are sealed") {
    const std::vector<std::byte> bytes = modes_bytes(sample::modes());
    CHECK(bytes == modes_bytes(sample::modes()));
    CHECK(!under_seal(bytes).empty());
    ModesRecord other = sample::modes();
    other.gears[1].modes[0].strain_share[1] = 0.61;
    CHECK(bytes != modes_bytes(other));
}

TEST_CASE("a record of modes whose lists do not fit together is refused") {
    ModesRecord record = sample::modes();
    record.gears[0].modes[1].kinetic_share.pop_back();
    CHECK_THROWS_AS((void)modes_bytes(record), ModelError);
    record = sample::modes();
    record.gears[1].elements[0].row.push_back(1.0);
    CHECK_THROWS_AS((void)modes_bytes(record), ModelError);
}

TEST_CASE("a gear without a mode that swings, and no gear at all, can be written") {
    ModesRecord record = sample::modes();
    record.gears[0].modes.clear();
    record.gears[0].influences.clear();
    CHECK(!modes_bytes(record).empty());
    record.gears.clear();
    CHECK(!modes_bytes(record).empty());
}
