// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/error.hpp"

#include "tests/support/scratch_folder.hpp"

#include <filesystem>
#include <vector>

namespace damper::testing {

/// The small set of parts and scenarios that belongs to the tests.
[[nodiscard]] inline std::filesystem::path samples() {
    return std::filesystem::path(DAMPER_SOURCE_DIR) / "tests" / "describe" / "samples";
}

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
