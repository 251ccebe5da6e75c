// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/error.hpp"

#include <atomic>
#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>
#include <unistd.h>
#include <vector>

namespace damper::testing {

/// The small set of parts and scenarios that belongs to the tests.
[[nodiscard]] inline std::filesystem::path samples() {
    return std::filesystem::path(DAMPER_SOURCE_DIR) / "tests" / "describe" / "samples";
}

/// A folder of its own for one test, gone afterwards.
class ScratchFolder {
  public:
    ScratchFolder() {
        static std::atomic<int> count{0};
        path_ = std::filesystem::temp_directory_path() /
                ("damper_test_" + std::to_string(::getpid()) + "_" + std::to_string(++count));
        std::filesystem::create_directories(path_);
    }
    ~ScratchFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

    /// Writes a file, folders included, and returns its path.
    std::filesystem::path write(const std::string& name, std::string_view bytes) const {
        const std::filesystem::path file = path_ / name;
        std::filesystem::create_directories(file.parent_path());
        std::ofstream(file, std::ios::binary) << bytes;
        return file;
    }

  private:
    std::filesystem::path path_;
};

/// The findings of a call that must refuse its input; empty if it did not.
template <class Call>
[[nodiscard]] std::vector<Finding> findings_of(Call&& call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.findings();
    }
    return {};
}

}  // namespace damper::testing
