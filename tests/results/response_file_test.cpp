// SPDX-License-Identifier: MIT
// The file of a response: whole, the same for the same record, readable by the HDF5 library alone.
#include "libdamper/results/response_file.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/results/seal.hpp"

#include "tests/support/sample_response.hpp"
#include "tests/support/scratch_folder.hpp"

#include <doctest/doctest.h>
#include <fstream>
#include <hdf5.h>
#include <string>
#include <vector>

using namespace damper;
using damper::testing::ScratchFolder;

namespace {

std::vector<double> read(hid_t file, const char* name) {
    const hid_t set = H5Dopen2(file, name, H5P_DEFAULT);
    REQUIRE(set >= 0);
    const hid_t space = H5Dget_space(set);
    std::vector<double> values(static_cast<std::size_t>(H5Sget_simple_extent_npoints(space)));
    REQUIRE(H5Dread(set, H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()) >= 0);
    H5Sclose(space);
    H5Dclose(set);
    return values;
}

}  // namespace

TEST_CASE("the file of a response holds the curves under the names that it promises") {
    const ScratchFolder folder;
    const auto path = folder.path() / "car_response.h5";
    const ResponseRecord record = sample::response();
    write_response(path, record);
    const hid_t file = H5Fopen(path.c_str(), H5F_ACC_RDONLY, H5P_DEFAULT);
    REQUIRE(file >= 0);
    CHECK(read(file, "/spectra/flywheel_speed/frequency") == record.frequency);
    CHECK(read(file, "/spectra/flywheel_speed/magnitude") == record.curves[0].magnitude);
    CHECK(read(file, "/spectra/flywheel_speed/phase") == record.curves[0].phase);
    CHECK(read(file, "/isolation/1_idle_soft_drive/slips") == record.stages[0].slips);
    CHECK(read(file, "/isolation/1_idle_soft_drive/sticks") == record.stages[0].sticks);
    CHECK(read(file, "/equivalent/twist") == std::vector<double>{0.01, 0.01, 0.01});
    CHECK(read(file, "/resonances/damping") == std::vector<double>{0.03});
    CHECK(read(file, "/model/elements/stiffness") == std::vector<double>{30.0});
    CHECK(read(file, "/model/rows/coefficient") == std::vector<double>{1.0, -1.0});
    H5Fclose(file);
}

TEST_CASE("equal responses give equal, sealed bytes, and a response without a swing is whole too") {
    const std::vector<std::byte> bytes = response_bytes(sample::response());
    CHECK(bytes == response_bytes(sample::response()));
    CHECK_FALSE(under_seal(bytes).empty());
    ResponseRecord linear = sample::response();
    linear.equivalent.clear();
    linear.curves.clear();
    CHECK_FALSE(under_seal(response_bytes(linear)).empty());
    CHECK(response_bytes(linear) != bytes);
}

TEST_CASE("a response that does not hang together is refused before anything is written") {
    const auto refused = [](void (*spoil)(ResponseRecord&)) {
        ResponseRecord record = sample::response();
        spoil(record);
        CHECK_THROWS_AS((void)response_bytes(record), ModelError);
    };
    refused([](ResponseRecord& r) { r.curves[0].phase.pop_back(); });
    refused([](ResponseRecord& r) { r.curves[0].name = "a/b"; });
    refused([](ResponseRecord& r) { r.curves[0].name.clear(); });
    refused([](ResponseRecord& r) { r.curves.push_back(r.curves[0]); });
    refused([](ResponseRecord& r) { r.stages[0].sticks.clear(); });
    refused([](ResponseRecord& r) { r.rows[0].inertia = 2; });
    refused([](ResponseRecord& r) { r.rows[0].element = -1; });
}
