// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"

#include <utility>

namespace damper {

InputError::InputError(std::vector<Finding> findings)
    : std::runtime_error(to_text(findings)), findings_(std::move(findings)) {}

InputError::InputError(const std::string& message) : std::runtime_error(message) {}

SolverError::SolverError(const std::string& message, double time, std::string element)
    : std::runtime_error(message), time_(time), element_(std::move(element)) {}

}  // namespace damper
