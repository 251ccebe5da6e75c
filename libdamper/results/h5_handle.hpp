// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <hdf5.h>
#include <stdexcept>
#include <string>
#include <utility>

namespace damper {

/// The HDF5 library reported an error, or a file is not as it must be. Inside the room only;
/// turned into FileError or InputError where the file's name is known.
class H5Failure : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// Throws H5Failure "ACTION: what the library says" if `result` is negative.
void h5_check(long long result, const std::string& action);

/// While it lives, the HDF5 library prints no errors of its own in this thread. Loading of filter
/// plug-ins is switched off for the whole process and stays off: switching it on again could
/// open the door to a file that another thread is reading.
class H5Quiet {
  public:
    H5Quiet();
    H5Quiet(const H5Quiet&) = delete;
    H5Quiet& operator=(const H5Quiet&) = delete;
    ~H5Quiet();

  private:
    H5E_auto2_t print_ = nullptr;
    void* context_ = nullptr;
};

/// Owns an identifier of the HDF5 library. Closing on destruction is silent; after writing, call
/// close(), because errors of delayed writes are reported only there.
template <herr_t (*Close)(hid_t)>
class H5Handle {
  public:
    H5Handle() = default;
    /// Throws H5Failure with `action` if the library returned no identifier.
    H5Handle(hid_t id, const std::string& action) : id_(id) { h5_check(id, action); }
    H5Handle(H5Handle&& other) noexcept : id_(std::exchange(other.id_, -1)) {}
    H5Handle& operator=(H5Handle&& other) noexcept {
        std::swap(id_, other.id_);
        return *this;
    }
    H5Handle(const H5Handle&) = delete;
    H5Handle& operator=(const H5Handle&) = delete;
    ~H5Handle() {
        if (id_ >= 0) (void)Close(id_);
    }

    [[nodiscard]] hid_t id() const { return id_; }
    [[nodiscard]] bool is_open() const { return id_ >= 0; }
    void close(const std::string& action) {
        if (id_ >= 0) h5_check(Close(std::exchange(id_, -1)), action);
    }

  private:
    hid_t id_ = -1;
};

using H5File = H5Handle<H5Fclose>;
using H5Group = H5Handle<H5Gclose>;
using H5Dataset = H5Handle<H5Dclose>;
using H5Space = H5Handle<H5Sclose>;
using H5Type = H5Handle<H5Tclose>;
using H5Attribute = H5Handle<H5Aclose>;
using H5Properties = H5Handle<H5Pclose>;

/// Text of any length, UTF-8. Text in *datasets* must have this type: the netCDF library crashes
/// on text of a fixed length (netCDF-C 4.9.0, tried); and one kind of text is enough.
[[nodiscard]] H5Type h5_text_type();

/// H5Types in the file; little-endian on every machine.
struct H5Types {
    hid_t file;
    hid_t memory;
};
[[nodiscard]] inline H5Types h5_types_of(double) {
    return {H5T_IEEE_F64LE, H5T_NATIVE_DOUBLE};
}
[[nodiscard]] inline H5Types h5_types_of(std::int32_t) {
    return {H5T_STD_I32LE, H5T_NATIVE_INT32};
}
[[nodiscard]] inline H5Types h5_types_of(std::int64_t) {
    return {H5T_STD_I64LE, H5T_NATIVE_INT64};
}
[[nodiscard]] inline H5Types h5_types_of(std::int8_t) {
    return {H5T_STD_I8LE, H5T_NATIVE_INT8};
}

}  // namespace damper
