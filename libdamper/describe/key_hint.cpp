// SPDX-License-Identifier: MIT
#include "libdamper/describe/key_hint.hpp"

#include "libdamper/base/nearest_word.hpp"

#include <algorithm>
#include <array>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

struct OtherName {
    std::string_view name;
    std::array<std::string_view, 2> keys;  ///< Those of one part that it may stand for.
};

constexpr std::array<OtherName, 7> other_names{{{"friction", {"hysteresis", "friction_factor"}},
                                                {"friction_torque", {"hysteresis", ""}},
                                                {"rate", {"stiffness", ""}},
                                                {"spring_rate", {"stiffness", ""}},
                                                {"angle", {"drive_end", "coast_end"}},
                                                {"end", {"drive_end", "coast_end"}},
                                                {"play", {"backlash", "friction_play"}}}};

}  // namespace

std::string key_hint(std::string_view name, const std::vector<std::string>& known) {
    std::vector<std::string> meant;
    for (const OtherName& other : other_names) {
        if (other.name != name) continue;
        for (const std::string_view key : other.keys) {
            if (std::ranges::find(known, key) != known.end()) meant.emplace_back(key);
        }
    }
    if (meant.empty()) {
        if (std::string near = nearest_word(name, known); !near.empty()) {
            meant.push_back(std::move(near));
        }
    }
    return meant.empty() ? "" : fmt::format("Did you mean \"{}\"?", fmt::join(meant, "\" or \""));
}

}  // namespace damper
