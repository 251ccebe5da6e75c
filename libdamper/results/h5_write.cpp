// SPDX-License-Identifier: MIT
#include "libdamper/results/h5_write.hpp"

#include "libdamper/base/error.hpp"

#include <algorithm>
#include <hdf5_hl.h>
#include <numeric>

namespace damper {

namespace {

constexpr hsize_t chunk_rows = 4096;      // 32 kB of doubles: small against the chunk cache of 1 MB
constexpr std::size_t chunked_from = 64;  // rows; below, filters cost more than they save
constexpr unsigned deflate_level = 4;     // higher levels take longer and save under 1 %

/// Properties of everything that is made: no times, so that equal records give equal bytes.
H5Properties properties(hid_t kind) {
    H5Properties made(H5Pcreate(kind), "properties");
    h5_check(H5Pset_obj_track_times(made.id(), false), "properties");
    if (kind != H5P_DATASET_CREATE) {
        h5_check(
            H5Pset_link_creation_order(made.id(), H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED),
            "properties");
    }
    return made;
}

H5Properties dataset_properties(std::size_t rows, bool numbers) {
    H5Properties made = properties(H5P_DATASET_CREATE);
    if (!numbers || rows < chunked_from) return made;
    const hsize_t chunk = std::min<hsize_t>(rows, chunk_rows);
    h5_check(H5Pset_chunk(made.id(), 1, &chunk), "chunks");
    h5_check(H5Pset_shuffle(made.id()), "shuffle filter");
    h5_check(H5Pset_deflate(made.id(), deflate_level), "deflate filter");
    h5_check(H5Pset_fletcher32(made.id()), "checksum filter");
    return made;
}

H5Space row_space(std::size_t rows) {
    const hsize_t count = rows;
    return {H5Screate_simple(1, &count, nullptr), "dataspace"};
}

void describe(const H5Dataset& dataset, Meaning meaning) {
    if (!meaning.units.empty()) write_attribute(dataset.id(), "units", meaning.units);
    if (!meaning.long_name.empty()) write_attribute(dataset.id(), "long_name", meaning.long_name);
}

H5Dataset write_dataset(hid_t group, const std::string& name, H5Types types, const H5Space& space,
                        const H5Properties& how, const void* data, Meaning meaning) {
    H5Dataset made(
        H5Dcreate2(group, name.c_str(), types.file, space.id(), H5P_DEFAULT, how.id(), H5P_DEFAULT),
        "dataset " + name);
    h5_check(H5Dwrite(made.id(), types.memory, H5S_ALL, H5S_ALL, H5P_DEFAULT, data),
             "dataset " + name);
    describe(made, meaning);
    return made;
}

template <class T>
H5Dataset write_rows(hid_t group, const std::string& name, std::span<const T> values,
                     Meaning meaning) {
    const H5Space space = row_space(values.size());
    const H5Properties how = dataset_properties(values.size(), true);
    return write_dataset(group, name, h5_types_of(T{}), space, how, values.data(), meaning);
}

const char* checked_text(const std::string& text) {
    if (text.find('\0') != text.npos) {
        throw ModelError("a text of the result contains a NUL character: " +
                         std::string(text.c_str()));
    }
    return text.c_str();
}

void write_attribute(hid_t object, const char* name, H5Types types, const void* data) {
    const H5Space space(H5Screate(H5S_SCALAR), name);
    H5Attribute made(H5Acreate2(object, name, types.file, space.id(), H5P_DEFAULT, H5P_DEFAULT),
                     name);
    h5_check(H5Awrite(made.id(), types.memory, data), name);
    made.close(name);
}

}  // namespace

void write_attribute(hid_t object, const char* name, std::string_view text) {
    const std::string owned(text);
    const char* data = checked_text(owned);
    const H5Type type = h5_text_type();
    write_attribute(object, name, H5Types{type.id(), type.id()}, &data);
}

void write_attribute(hid_t object, const char* name, double value) {
    write_attribute(object, name, h5_types_of(value), &value);
}

void write_attribute(hid_t object, const char* name, std::int64_t value) {
    write_attribute(object, name, h5_types_of(value), &value);
}

GroupOut GroupOut::make_group(const std::string& name) {
    const H5Properties how = properties(H5P_GROUP_CREATE);
    return GroupOut(H5Group(H5Gcreate2(id(), name.c_str(), H5P_DEFAULT, how.id(), H5P_DEFAULT),
                            "group " + name));
}

void GroupOut::write_axis(const char* name, std::span<const double> values, Meaning meaning) {
    axis_ = write_rows(id(), name, values, meaning);
    h5_check(H5DSset_scale(axis_.id(), name), std::string("axis ") + name);
}

void GroupOut::write_index(std::size_t rows) {
    std::vector<std::int32_t> numbers(rows);
    std::iota(numbers.begin(), numbers.end(), 0);
    axis_ = write_rows<std::int32_t>(id(), "index", numbers, {"", "row, counted from 0"});
    h5_check(H5DSset_scale(axis_.id(), "index"), "axis index");
}

void GroupOut::attach(const H5Dataset& column, const std::string& name) {
    h5_check(H5DSattach_scale(column.id(), axis_.id(), 0), "axis of " + name);
}

void GroupOut::write_column(const std::string& name, std::span<const double> values,
                            Meaning meaning) {
    attach(write_rows(id(), name, values, meaning), name);
}

void GroupOut::write_column(const std::string& name, std::span<const std::int32_t> values,
                            Meaning meaning) {
    attach(write_rows(id(), name, values, meaning), name);
}

void GroupOut::write_column(const std::string& name, std::span<const std::int64_t> values,
                            Meaning meaning) {
    attach(write_rows(id(), name, values, meaning), name);
}

void GroupOut::write_column(const std::string& name, std::span<const std::int8_t> values,
                            Meaning meaning) {
    attach(write_rows(id(), name, values, meaning), name);
}

namespace {

H5Dataset write_names(hid_t group, const std::string& name, const std::vector<std::string>& values,
                      Meaning meaning) {
    std::vector<const char*> pointers;
    pointers.reserve(values.size());
    for (const std::string& value : values) pointers.push_back(checked_text(value));
    const H5Type type = h5_text_type();
    const H5Space space = row_space(values.size());
    const H5Properties how = dataset_properties(values.size(), false);
    return write_dataset(group, name, H5Types{type.id(), type.id()}, space, how, pointers.data(),
                         meaning);
}

H5Dataset as_scale(H5Dataset made, const char* name) {
    h5_check(H5DSset_scale(made.id(), name), std::string("axis ") + name);
    return made;
}

void hang(const H5Dataset& data, const H5Dataset& axis, unsigned dimension,
          const std::string& name) {
    h5_check(H5DSattach_scale(data.id(), axis.id(), dimension), "axis of " + name);
}

}  // namespace

void GroupOut::write_column(const std::string& name, const std::vector<std::string>& values,
                            Meaning meaning) {
    attach(write_names(id(), name, values, meaning), name);
}

H5Dataset GroupOut::make_count_axis(const char* name, std::size_t count, Meaning meaning) {
    std::vector<std::int32_t> numbers(count);
    std::iota(numbers.begin(), numbers.end(), 1);
    return as_scale(write_rows<std::int32_t>(id(), name, numbers, meaning), name);
}

H5Dataset GroupOut::make_axis(const char* name, std::span<const double> values, Meaning meaning) {
    return as_scale(write_rows(id(), name, values, meaning), name);
}

H5Dataset GroupOut::make_axis(const char* name, const std::vector<std::string>& values,
                              Meaning meaning) {
    return as_scale(write_names(id(), name, values, meaning), name);
}

void GroupOut::write_along(const H5Dataset& axis, const std::string& name,
                           std::span<const double> values, Meaning meaning) {
    hang(write_rows(id(), name, values, meaning), axis, 0, name);
}

void GroupOut::write_along(const H5Dataset& axis, const std::string& name,
                           std::span<const std::int8_t> values, Meaning meaning) {
    hang(write_rows(id(), name, values, meaning), axis, 0, name);
}

void GroupOut::write_along(const H5Dataset& axis, const std::string& name,
                           const std::vector<std::string>& values, Meaning meaning) {
    hang(write_names(id(), name, values, meaning), axis, 0, name);
}

void GroupOut::write_matrix(const H5Dataset& row_axis, const H5Dataset& column_axis,
                            std::size_t columns, const std::string& name,
                            const std::vector<std::vector<double>>& rows, Meaning meaning) {
    std::vector<double> flat;
    flat.reserve(rows.size() * columns);
    for (const std::vector<double>& row : rows) {
        if (row.size() != columns) throw ModelError("a row of " + name + " has another length");
        flat.insert(flat.end(), row.begin(), row.end());
    }
    const hsize_t size[] = {rows.size(), columns};
    const H5Space space(H5Screate_simple(2, size, nullptr), "dataspace");
    const H5Properties how = properties(H5P_DATASET_CREATE);
    const H5Dataset made =
        write_dataset(id(), name, h5_types_of(double{}), space, how, flat.data(), meaning);
    hang(made, row_axis, 0, name);
    hang(made, column_axis, 1, name);
}

H5Dataset GroupOut::write_scalar(const std::string& name, double value, Meaning meaning) {
    const H5Space space(H5Screate(H5S_SCALAR), "dataset " + name);
    const H5Properties how = properties(H5P_DATASET_CREATE);
    return write_dataset(id(), name, h5_types_of(value), space, how, &value, meaning);
}

H5Image::H5Image() {
    const H5Properties creation = properties(H5P_FILE_CREATE);
    const H5Properties access(H5Pcreate(H5P_FILE_ACCESS), "file in memory");
    constexpr std::size_t growth = std::size_t{1} << 20;
    h5_check(H5Pset_fapl_core(access.id(), growth, false), "file in memory");
    // The oldest structure that will do. Newer ones mark the file as open and have a checksum over
    // that mark; H5Fget_file_image takes the mark away and leaves the checksum wrong (HDF5 1.10.8,
    // tried). The checksums of the newer structure are not missed: seal.hpp covers every byte.
    h5_check(H5Pset_libver_bounds(access.id(), H5F_LIBVER_EARLIEST, H5F_LIBVER_V18),
             "file in memory");
    file_ =
        H5File(H5Fcreate("result", H5F_ACC_TRUNC, creation.id(), access.id()), "file in memory");
}

GroupOut H5Image::root() {
    return GroupOut(H5Group(H5Gopen2(file_.id(), "/", H5P_DEFAULT), "root group"));
}

std::vector<std::byte> H5Image::finish() {
    h5_check(H5Fflush(file_.id(), H5F_SCOPE_GLOBAL), "finishing the file in memory");
    const ssize_t size = H5Fget_file_image(file_.id(), nullptr, 0);
    h5_check(size, "size of the file in memory");
    std::vector<std::byte> bytes(static_cast<std::size_t>(size));
    h5_check(H5Fget_file_image(file_.id(), bytes.data(), bytes.size()), "file in memory");
    file_.close("closing the file in memory");
    return bytes;
}

}  // namespace damper
