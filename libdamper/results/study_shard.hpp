// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/file_descriptor.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/results/study_head.hpp"

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace damper {

/// What one variant left.
struct VariantResult {
    enum class Ended : std::uint8_t {
        done = 0,     ///< Measured to its end.
        refused = 1,  ///< The values do not fit together; nothing was run.
        broken = 2,   ///< The run did not come to its end.
    };
    std::uint64_t variant = 0;
    Ended ended = Ended::done;
    std::vector<double> values;                                  ///< Of the keys.
    std::vector<std::pair<std::uint16_t, double>> measures;      ///< Number in the head, value.
    std::vector<std::pair<std::uint16_t, std::uint8_t>> grades;  ///< Number, 0 good … 2 bad.
    std::string why;                                             ///< Unless done.
    friend bool operator==(const VariantResult&, const VariantResult&) = default;
};

/// A shard: a log of finished variants that only grows.
///
///     "damper shard 1\n", then frames: length, CRC-32 of the payload (both 32 bits,
///     little-endian), payload. The first frame is the head as text, each other one a variant.
///
/// A frame is handed to the operating system in one piece as soon as its variant is done, and
/// brought to the disk every few seconds: a killed program loses only the runs under way, a power
/// failure the last seconds. A torn last frame is cut off when the study is taken up again. HDF5
/// was weighed and left out for this file: killed in the middle of an append it may not open again.
class ShardWriter {
  public:
    /// Opens the shard for appending, or begins it. An earlier one of another study is refused with
    /// InputError, one that another process writes with BusyError; FileError as the disk says.
    ShardWriter(std::filesystem::path path, const StudyHead& head);
    ~ShardWriter();
    ShardWriter(const ShardWriter&) = delete;
    ShardWriter& operator=(const ShardWriter&) = delete;

    /// Appends one variant. If the disk refuses (FileError), what was appended before stays whole.
    void append(const VariantResult& result);
    /// Brings all to the disk. Throws FileError.
    void finish();

  private:
    void write_frame(const std::string& frame);

    std::filesystem::path path_;
    std::unique_ptr<FileLock> lock_;
    FileDescriptor file_;
    std::int64_t whole_ = 0;  ///< Length up to the last whole frame [bytes].
    std::chrono::steady_clock::time_point synced_;
};

/// What a shard holds beside its variants.
struct ShardRead {
    StudyHead head;
    std::int64_t variants = 0;
    std::int64_t whole = 0;  ///< Up to the last whole frame [bytes].
    std::int64_t torn = 0;   ///< Bytes behind it.
};

/// A file that could be the beginning of a shard, but ends before its head does: the program was
/// killed or the disk full when it began. It holds no variants. Throws FileError.
[[nodiscard]] bool hardly_begun(const std::filesystem::path& path);

/// Reads a shard frame by frame. `visit` may be empty: then only the frames are checked. Throws
/// InputError if it is no shard or its head is damaged, FileError.
[[nodiscard]] ShardRead read_shard(const std::filesystem::path& path,
                                   const std::function<void(VariantResult&&)>& visit);

}  // namespace damper
