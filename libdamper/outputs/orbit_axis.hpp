// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/outputs/number_text.hpp"
#include "libdamper/results/orbit_record.hpp"

#include <string>

namespace damper {

/// What a curve of motions is followed in, as a workshop reads it: engine speed in rpm, or the key
/// that is varied in its own unit.
class OrbitAxis {
  public:
    explicit OrbitAxis(const OrbitRecord& record);

    [[nodiscard]] const std::string& name() const { return name_; }  ///< "Engine speed", or the key
    [[nodiscard]] const std::string& units() const { return shown_.units; }
    [[nodiscard]] std::string heading() const;  ///< "Engine speed in rpm"
    [[nodiscard]] std::string title() const;    ///< "engine speed", or the key
    [[nodiscard]] double of(double parameter) const { return shown_.of(parameter); }
    /// A parameter that is shown as that much.
    [[nodiscard]] double parameter(double shown) const;
    /// "1280" or "31.42".
    [[nodiscard]] std::string figure(double parameter) const;
    /// "1280 to 1300 rpm".
    [[nodiscard]] std::string span(double low, double high) const;

  private:
    bool is_speed_;
    std::string name_;
    Shown shown_;
};

}  // namespace damper
