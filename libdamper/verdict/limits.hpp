// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace damper {

/// What is still good and what is bad of a measure. `good` > `bad` where more is better.
struct Limit {
    std::string_view measure;
    std::string_view vehicle_class;  ///< Empty: all classes.
    double good = 0.0;               ///< Good up to here, in the measure's SI units.
    double bad = 0.0;                ///< Bad beyond here.
    std::string_view source;         ///< Whose limit.
};

/// All limits that the tool knows. Each row says where it comes from; most are working bands, to
/// be replaced by the vehicle maker's figures where there are any.
[[nodiscard]] std::span<const Limit> all_limits();

/// The limit of a measure for a class of vehicle; nothing if the measure has none.
[[nodiscard]] std::optional<Limit> find_limit(std::string_view measure,
                                              std::string_view vehicle_class);

}  // namespace damper
