// SPDX-License-Identifier: MIT
#pragma once

#include <chrono>
#include <cstdint>
#include <string>

namespace damper::command {

/// "412 of 1000, 96 a second, 6 s left"
class Pace {
  public:
    explicit Pace(std::int64_t count) : count_(static_cast<double>(count)) {}
    [[nodiscard]] std::string at(double share);

  private:
    double count_;
    double first_share_ = -1.0;
    std::chrono::steady_clock::time_point began_;
};

}  // namespace damper::command
