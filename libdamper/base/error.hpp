// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"

#include <stdexcept>
#include <string>
#include <vector>

namespace damper {

/// Bad input: the owner of a description file or of a command line must act. Exit status 2.
class InputError : public std::runtime_error {
  public:
    explicit InputError(std::vector<Finding> findings);
    explicit InputError(const std::string& message);
    [[nodiscard]] const std::vector<Finding>& findings() const { return findings_; }

  private:
    std::vector<Finding> findings_;
};

/// A model that cannot be assembled: the C++ caller must act (bad stiffness, unknown index …).
class ModelError : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// The solver could not go on. Exit status 3.
class SolverError : public std::runtime_error {
  public:
    SolverError(const std::string& message, double time, std::string element);
    [[nodiscard]] double time() const { return time_; }                    ///< [s]
    [[nodiscard]] const std::string& element() const { return element_; }  ///< may be empty

  private:
    double time_;
    std::string element_;
};

/// The file system refused: full, read-only, no permission. Exit status 4.
class FileError : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// Another run holds this output. Exit status 5.
class BusyError : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

}  // namespace damper
