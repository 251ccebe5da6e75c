// SPDX-License-Identifier: MIT
#include "libdamper/outputs/orbit_axis.hpp"

#include <fmt/format.h>

namespace damper {

OrbitAxis::OrbitAxis(const OrbitRecord& record)
    : is_speed_(record.key.empty()),
      name_(is_speed_ ? "Engine speed" : record.key),
      shown_(shown_as(is_speed_ ? "rad/s" : record.key_units)) {
    if (record.key_multiplies) shown_.units = "times what the files say";
}

std::string OrbitAxis::heading() const {
    return shown_.units.empty() ? name_ : fmt::format("{} in {}", name_, shown_.units);
}

std::string OrbitAxis::title() const {
    return is_speed_ ? "engine speed" : name_;
}

double OrbitAxis::parameter(double shown) const {
    return (shown - shown_.offset) / shown_.factor;
}

std::string OrbitAxis::figure(double parameter) const {
    return is_speed_ ? fmt::format("{:.0f}", of(parameter)) : number_text(of(parameter));
}

std::string OrbitAxis::span(double low, double high) const {
    std::string text = fmt::format("{} to {}", figure(low), figure(high));
    if (!shown_.units.empty()) text += fmt::format(" {}", shown_.units);
    return text;
}

}  // namespace damper
