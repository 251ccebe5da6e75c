// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/studies/check_study.hpp"

#include <filesystem>
#include <map>
#include <string>

namespace damper::command {

/// Which scenarios were kept when they were last checked, and by what: a digest of all that goes
/// into the result. Lies in the output folder as check_state.json.
class CheckState {
  public:
    /// Reads it; one that is missing or cannot be understood knows nothing.
    explicit CheckState(const std::filesystem::path& folder);

    [[nodiscard]] bool kept(const std::string& name, const std::string& digest) const;
    void note(const std::string& name, const std::string& digest, bool kept);
    /// Throws FileError.
    void write() const;

  private:
    std::filesystem::path file_;
    std::map<std::string, std::string> digests_;
};

/// Digest of the program itself, its inputs, changes, settings, baseline and tolerances.
[[nodiscard]] std::string digest_of(const CheckJob& job, const CheckSettings& settings);

}  // namespace damper::command
