// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/results/seal.hpp"

#include "tests/results/forged_file.hpp"
#include "tests/results/rich_record.hpp"
#include "tests/support/scratch_folder.hpp"

#include <doctest/doctest.h>
#include <fstream>
#include <functional>
#include <hdf5.h>
#include <span>
#include <string>
#include <vector>

using namespace damper;
using namespace damper::testing;

namespace {

using Bytes = std::vector<std::byte>;

/// A good result that `change` makes into something else, sealed again.
Bytes forged(const std::function<void(hid_t file)>& change) {
    return testing::forged(result_bytes(rich_record(20)), change);
}

/// What the reader says to a forged file; empty if it takes it.
std::string refusal(const std::function<void(hid_t file)>& change) {
    const Bytes bytes = forged(change);
    try {
        (void)parse_result(bytes, "forged.h5");
    } catch (const InputError& error) {
        return error.what();
    }
    return {};
}

bool says(const std::string& message, const std::string& part) {
    INFO(message);
    const bool found = message.find(part) != message.npos;
    CHECK(found);
    return found;
}

/// Puts another dataset in place of the signal "bare".
void replace_signal(hid_t file, hid_t type, std::vector<hsize_t> size, hid_t how) {
    (void)H5Ldelete(file, "/signals/bare", H5P_DEFAULT);
    const hid_t space = H5Screate_simple(static_cast<int>(size.size()), size.data(), nullptr);
    const hid_t made =
        H5Dcreate2(file, "/signals/bare", type, space, H5P_DEFAULT, how, H5P_DEFAULT);
    REQUIRE(made >= 0);
    H5Dclose(made);
    H5Sclose(space);
}

}  // namespace

TEST_CASE(
    "a result that was only opened and closed by another program is taken once it is sealed") {
    CHECK(refusal([](hid_t) {}).empty());
}

TEST_CASE("data in another file are not read") {
    const ScratchFolder folder;
    std::ofstream(folder / "secret") << std::string(160, 'S');
    const std::string message = refusal([&](hid_t file) {
        const hid_t how = H5Pcreate(H5P_DATASET_CREATE);
        H5Pset_external(how, (folder / "secret").c_str(), 0, 160);
        replace_signal(file, H5T_IEEE_F64LE, {20}, how);
        H5Pclose(how);
    });
    says(message, "/signals/bare: takes its data from another file");
}

TEST_CASE("virtual datasets are not followed") {
    const std::string message = refusal([](hid_t file) {
        const hid_t how = H5Pcreate(H5P_DATASET_CREATE);
        const hsize_t size = 20;
        const hid_t space = H5Screate_simple(1, &size, nullptr);
        H5Pset_virtual(how, space, "/etc/other.h5", "data", space);
        H5Sclose(space);
        replace_signal(file, H5T_IEEE_F64LE, {20}, how);
        H5Pclose(how);
    });
    says(message, "/signals/bare: takes its data from other datasets");
}

TEST_CASE("links to elsewhere and links that run in a circle are refused") {
    says(refusal([](hid_t file) {
             H5Lcreate_external("/etc/other.h5", "/", file, "/signals/x", H5P_DEFAULT, H5P_DEFAULT);
         }),
         "/signals/: holds a link to elsewhere");
    says(refusal([](hid_t file) {
             H5Lcreate_soft("/signals/b", file, "/signals/a", H5P_DEFAULT, H5P_DEFAULT);
             H5Lcreate_soft("/signals/a", file, "/signals/b", H5P_DEFAULT, H5P_DEFAULT);
         }),
         "/signals/: holds a link to elsewhere");
    says(refusal([](hid_t file) {
             H5Lcreate_hard(file, "/", file, "/model/again", H5P_DEFAULT, H5P_DEFAULT);
         }),
         "nested too deep");
}

TEST_CASE("more points than the file can hold are refused before memory is taken") {
    says(refusal([](hid_t file) {
             replace_signal(file, H5T_IEEE_F64LE, {hsize_t{1} << 40}, H5P_DEFAULT);
         }),
         "/signals/bare: claims more data than the file holds");
    says(refusal([](hid_t file) {
             const hid_t how = H5Pcreate(H5P_DATASET_CREATE);
             const hsize_t chunk = 4096;
             H5Pset_chunk(how, 1, &chunk);
             H5Pset_deflate(how, 4);
             replace_signal(file, H5T_IEEE_F64LE, {hsize_t{1} << 40}, how);
             H5Pclose(how);
         }),
         "/signals/bare: claims more data than the file holds");
}

TEST_CASE("filters and pieces that results do not use are refused") {
    says(refusal([](hid_t file) {
             const hid_t how = H5Pcreate(H5P_DATASET_CREATE);
             const hsize_t chunk = 20;
             H5Pset_chunk(how, 1, &chunk);
             H5Pset_alloc_time(how, H5D_ALLOC_TIME_EARLY);
             const unsigned value = 1;
             // 32015 is registered for a filter that is not part of the library.
             H5Pset_filter(how, 32015, H5Z_FLAG_OPTIONAL, 1, &value);
             replace_signal(file, H5T_IEEE_F64LE, {20}, how);
             H5Pclose(how);
         }),
         "/signals/bare: is packed by a filter that results do not use");
    says(refusal([](hid_t file) {
             const hid_t how = H5Pcreate(H5P_DATASET_CREATE);
             const hsize_t chunk[2] = {4, 5};
             H5Pset_chunk(how, 2, chunk);
             H5Pset_alloc_time(how, H5D_ALLOC_TIME_EARLY);
             replace_signal(file, H5T_IEEE_F64LE, {4, 5}, how);
             H5Pclose(how);
         }),
         "/signals/bare: is cut into pieces that results do not use");
}

TEST_CASE("data of another type or shape are refused") {
    const hid_t early = H5Pcreate(H5P_DATASET_CREATE);
    H5Pset_alloc_time(early, H5D_ALLOC_TIME_EARLY);
    const hid_t compound = H5Tcreate(H5T_COMPOUND, 16);
    H5Tinsert(compound, "a", 0, H5T_IEEE_F64LE);
    H5Tinsert(compound, "b", 8, H5T_IEEE_F64LE);
    const hid_t fixed_text = H5Tcopy(H5T_C_S1);
    H5Tset_size(fixed_text, 8);
    const auto with = [&](hid_t type, std::vector<hsize_t> size) {
        return refusal([&](hid_t file) { replace_signal(file, type, size, early); });
    };
    says(with(H5T_IEEE_F32LE, {20}), "bare: has another type");
    says(with(H5T_STD_I64LE, {20}), "bare: has another type");
    says(with(compound, {20}), "bare: has another type");
    says(with(fixed_text, {20}), "bare: has another type");
    says(with(H5T_IEEE_F64LE, {4, 5}), "bare: is not a column");
    says(with(H5T_IEEE_F64LE, {19}), "signal \"bare\" has 19 values at 20 times");
    H5Tclose(fixed_text);
    H5Tclose(compound);
    H5Pclose(early);
}

TEST_CASE("what is missing or of another kind is named") {
    says(refusal([](hid_t file) { H5Ldelete(file, "/energy", H5P_DEFAULT); }), "group energy");
    says(refusal([](hid_t file) { H5Ldelete(file, "/energy/supplied", H5P_DEFAULT); }),
         "dataset supplied");
    says(refusal([](hid_t file) { H5Adelete(file, "title"); }), "attribute title: is missing");
    says(refusal([](hid_t file) { H5Adelete_by_name(file, "/solver", "steps", H5P_DEFAULT); }),
         "attribute steps: is missing");
    says(refusal([](hid_t file) {
             const hid_t type = H5Tcopy(H5T_IEEE_F64LE);
             H5Tcommit2(file, "/signals/type", type, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
             H5Tclose(type);
         }),
         "/signals/type: is neither a group nor a dataset");
}

TEST_CASE("indices that point to nothing are refused") {
    const std::string message = refusal([](hid_t file) {
        const hid_t column = H5Dopen2(file, "/model/guards/mode", H5P_DEFAULT);
        const hid_t space = H5Dget_space(column);
        std::vector<int> values(static_cast<std::size_t>(H5Sget_simple_extent_npoints(space)), 99);
        H5Dwrite(column, H5T_NATIVE_INT, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data());
        H5Sclose(space);
        H5Dclose(column);
    });
    says(message, "names a row that is not there");
}

TEST_CASE("a newer format is named as such") {
    const std::string message = refusal([](hid_t file) {
        const hid_t version = H5Aopen(file, "format_version", H5P_DEFAULT);
        const int newer = 4;
        H5Awrite(version, H5T_NATIVE_INT, &newer);
        H5Aclose(version);
    });
    says(message, "has format version 4; this program reads version 3");
}
