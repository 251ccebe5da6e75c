// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_handle.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace damper {

/// Memory that reading may still take [bytes].
struct ReadBudget {
    std::uint64_t left = 0;
    /// Throws H5Failure if there is not enough left.
    void take(std::uint64_t bytes, const std::string& what);
};

/// Reads attributes. Throw H5Failure if missing, of another type or not a single value.
[[nodiscard]] std::string read_text(hid_t object, const char* name);
[[nodiscard]] double read_number(hid_t object, const char* name);
[[nodiscard]] std::int64_t read_integer(hid_t object, const char* name);

/// A group that is being read. All functions throw H5Failure if what is asked for is missing or
/// not exactly as h5_write.hpp writes it.
class GroupIn {
  public:
    GroupIn(H5Group group, ReadBudget& budget) : group_(std::move(group)), budget_(&budget) {}

    [[nodiscard]] hid_t id() const { return group_.id(); }
    [[nodiscard]] GroupIn open_group(const std::string& name) const;
    [[nodiscard]] H5Dataset open_dataset(const std::string& name) const;
    /// Names of the members in the order in which they were made.
    [[nodiscard]] std::vector<std::string> names() const;

    void read_column(const std::string& name, std::vector<double>& values) const;
    void read_column(const std::string& name, std::vector<std::int32_t>& values) const;
    void read_column(const std::string& name, std::vector<std::int64_t>& values) const;
    void read_column(const std::string& name, std::vector<std::int8_t>& values) const;
    void read_column(const std::string& name, std::vector<std::string>& values) const;
    /// A table of numbers of just that size, row after row.
    [[nodiscard]] std::vector<std::vector<double>> read_matrix(const std::string& name,
                                                               std::size_t rows,
                                                               std::size_t columns) const;
    [[nodiscard]] double read_scalar(const std::string& name) const;
    /// To be asked before memory is taken whose size a file decides.
    void take_memory(std::uint64_t bytes, const std::string& what) const {
        budget_->take(bytes, what);
    }

  private:
    H5Group group_;
    ReadBudget* budget_;
};

/// An HDF5 file in memory, opened for reading and looked through before anything is read:
/// only plain groups and datasets, at most four levels deep; no soft or external links, no
/// storage in other files, no virtual datasets, no filters but the three of ours, no more bytes
/// than the file can hold. So a file cannot make us read another one, nor take memory without
/// end. What it cannot stop is a file made to strike at a fault of the HDF5 library itself.
class H5Source {
  public:
    /// Throws H5Failure.
    explicit H5Source(std::span<const std::byte> image);
    [[nodiscard]] GroupIn root();

  private:
    ReadBudget budget_;
    H5File file_;
};

}  // namespace damper
