// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <sys/mount.h>

namespace damper::testing {

/// A file system in memory with room as `options` say ("size=256k"), mounted on a folder that
/// exists. Needs root; `mounted()` says whether it worked.
class SmallDisk {
  public:
    SmallDisk(const std::filesystem::path& folder, const char* options)
        : folder_(folder), mounted_(::mount("tmpfs", folder.c_str(), "tmpfs", 0, options) == 0) {}
    SmallDisk(const SmallDisk&) = delete;
    SmallDisk& operator=(const SmallDisk&) = delete;
    ~SmallDisk() {
        if (mounted_) (void)::umount(folder_.c_str());
    }
    [[nodiscard]] bool mounted() const { return mounted_; }
    /// From now on nothing can be written.
    [[nodiscard]] bool make_read_only() const {
        return ::mount("tmpfs", folder_.c_str(), "tmpfs", MS_REMOUNT | MS_RDONLY, nullptr) == 0;
    }

  private:
    std::filesystem::path folder_;
    bool mounted_;
};

}  // namespace damper::testing
