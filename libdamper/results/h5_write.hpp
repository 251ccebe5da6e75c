// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_handle.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

/// Writes attributes of a group or dataset. Text must not contain a NUL (ModelError).
void write_attribute(hid_t object, const char* name, std::string_view text);
void write_attribute(hid_t object, const char* name, double value);
void write_attribute(hid_t object, const char* name, std::int64_t value);

/// What a dataset means: attributes `units` (UDUNITS; none if empty) and `long_name`.
struct Meaning {
    std::string_view units;
    std::string_view long_name;
};

/// A group that is being written. Columns hang on the axis of the group, a dimension scale, so
/// that xarray and the netCDF library know which belong together. Objects carry no times and are
/// listed in the order in which they were made.
class GroupOut {
  public:
    explicit GroupOut(H5Group group) : group_(std::move(group)) {}

    [[nodiscard]] hid_t id() const { return group_.id(); }
    [[nodiscard]] GroupOut make_group(const std::string& name);

    /// The axis along which the columns run; before the first column.
    void write_axis(const char* name, std::span<const double> values, Meaning meaning);
    /// An axis 0, 1 … `rows` − 1, named "index".
    void write_index(std::size_t rows);

    /// A column as long as the axis.
    void write_column(const std::string& name, std::span<const double> values, Meaning meaning);
    void write_column(const std::string& name, std::span<const std::int32_t> values,
                      Meaning meaning);
    void write_column(const std::string& name, std::span<const std::int64_t> values,
                      Meaning meaning);
    void write_column(const std::string& name, std::span<const std::int8_t> values,
                      Meaning meaning);
    void write_column(const std::string& name, const std::vector<std::string>& values,
                      Meaning meaning);

    /// Axes beside that of the group, for what runs along others or along two of them. Numbers 1,
    /// 2 … `count`, numbers, or names.
    [[nodiscard]] H5Dataset make_count_axis(const char* name, std::size_t count, Meaning meaning);
    [[nodiscard]] H5Dataset make_axis(const char* name, std::span<const double> values,
                                      Meaning meaning);
    [[nodiscard]] H5Dataset make_axis(const char* name, const std::vector<std::string>& values,
                                      Meaning meaning);
    /// A column along an axis of its own.
    void write_along(const H5Dataset& axis, const std::string& name, std::span<const double> values,
                     Meaning meaning);
    void write_along(const H5Dataset& axis, const std::string& name,
                     std::span<const std::int8_t> values, Meaning meaning);
    void write_along(const H5Dataset& axis, const std::string& name,
                     const std::vector<std::string>& values, Meaning meaning);
    /// A table of numbers, row after row. All rows must be as long as `columns` (ModelError).
    void write_matrix(const H5Dataset& row_axis, const H5Dataset& column_axis, std::size_t columns,
                      const std::string& name, const std::vector<std::vector<double>>& rows,
                      Meaning meaning);

    /// A single number; returns the dataset for further attributes.
    H5Dataset write_scalar(const std::string& name, double value, Meaning meaning);

  private:
    void attach(const H5Dataset& column, const std::string& name);

    H5Group group_;
    H5Dataset axis_;
};

/// An HDF5 file that is built in memory. Nothing touches the disk: what the disk has to say is
/// heard by write_file_atomically, not swallowed by a delayed write in the HDF5 library.
class H5Image {
  public:
    H5Image();
    [[nodiscard]] GroupOut root();
    /// The finished file. All groups and datasets must be gone by then.
    [[nodiscard]] std::vector<std::byte> finish();

  private:
    H5File file_;
};

}  // namespace damper
